// Job sheet: from what the job says to suspects and checks. All of the arithmetic is the builder's own (Benchlore.rank, printed from
// the functions that the terminal runs) on the numbers that it exported; nothing of the model is stated here.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.known) { return; }
  const R = B.rank, M = J.model;
  const WANTED = 24;

  // What the job says, as places in the export. `found`: faults confirmed; `still`: signs that are there all the same;
  // `elsewhere`: faults that the family is known for on other revisions than the one on the bench.
  function evidence() {
    const { known, record } = J;
    const family = known.family();
    const seen = { family: record.get("family"), prior: null, present: [], absent: [], passed: [], failed: [], found: [], still: [], elsewhere: [], reached: 0, candidates: [] };
    for (const [id, value] of record.under("sign")) {
      if (known.signs.has(id)) { (value === "present" ? seen.present : seen.absent).push(known.signs.get(id)); }
    }
    for (const [id, value] of record.under("check")) {
      if (known.checkAt.has(id)) { (value === "pass" ? seen.passed : seen.failed).push(known.checkAt.get(id)); }
    }
    for (const [id] of record.under("fault")) { if (known.places.has(id)) { seen.found.push(known.places.get(id)); } }
    for (const [id] of record.under("still")) { if (known.signs.has(id)) { seen.still.push(known.signs.get(id)); } }
    const off = family && Object.hasOwn(family.elsewhere, record.get("revision")) ? family.elsewhere[record.get("revision")] : [];
    seen.elsewhere = off.filter((id) => known.places.has(id)).map((id) => known.places.get(id));
    seen.rows = family ? family.prior : record.get("family") === "none" ? byStages(record.under("stage").map(([id]) => id)) : M.prior;
    seen.reached = Math.max(record.under("open").length ? 1 : 0, ...[...seen.passed, ...seen.failed].map((at) => M.checks[at][3]), 0);
    return seen;
  }

  // Prior of an amp that is not in the book, by the stages ticked: pairs of (fault, share), the last for what is not in it.
  function byStages(stages) {
    const raised = new Array(M.faults.length).fill(0);
    for (const id of stages) {
      for (const [at, times] of Object.hasOwn(M.stages, id) ? M.stages[id] : []) { if (!raised[at]) { raised[at] = times; } }
    }
    const shares = R.trade_prior(M.commonness, M.anywhere, raised, stages.length === 0, M.other);
    return shares.map((share, at) => [at === M.faults.length ? -1 : at, share]).filter(([at, share]) => at < 0 || share > 0);
  }

  const chancesOf = (candidates, sign) => R.symptom_chances(candidates, M.shows, M.unlisted, M.usual[sign], sign);
  const failing = (candidates, at) => R.check_chances(candidates, M.checks[at][5], M.checks[at][4]);

  // Probabilities of the candidates, with what is explained by faults already found left out.
  function weigh(seen) {
    const candidates = seen.rows.map(([at]) => at);
    const explained = seen.present.filter((sign) => !seen.still.includes(sign) && seen.found.some((at) => R.explains(M.shows, at, sign, M.explains)));
    const open = seen.present.filter((sign) => !explained.includes(sign));
    const failed = seen.failed.filter((at) => !R.check_speaks_to(M.checks[at][5], seen.found));
    const prior = R.without(seen.rows.map(([, share]) => share), candidates, seen.found);
    const factors = [
      ...(seen.elsewhere.length ? [["revision", -1, R.revision_factor(candidates, seen.elsewhere, M.elsewhere)]] : []),
      ...open.map((sign) => ["there", sign, R.as_factor(chancesOf(candidates, sign), true)]),
      ...seen.absent.map((sign) => ["not there", sign, R.as_factor(chancesOf(candidates, sign), false)]),
      ...seen.passed.map((at) => ["passed", at, R.as_factor(failing(candidates, at), false)]),
      ...failed.map((at) => ["failed", at, R.as_factor(failing(candidates, at), true)]),
    ];
    const probability = R.posterior(prior, factors.map(([, , factor]) => factor));
    return { candidates, prior, factors, probability, explained, open, failed };
  }

  // The checks that are left, best order first: [{at, gain}], and the expected minutes until the fault is found.
  function order(seen, weighed) {
    const inSight = new Set(weighed.candidates), done = new Set([...seen.passed, ...seen.failed]);
    const own = (at) => M.checks[at][1];  // below nought: the check of a fault that is never a suspect
    const left = M.checks.map((_, at) => at).filter((at) => own(at) >= 0 && inSight.has(own(at)) && !done.has(at) && !seen.found.includes(own(at)));
    const index = new Map(left.map((at, i) => [at, i]));
    const find = left.map((at) => R.find_row(weighed.candidates, M.checks[at][5]));
    const minutes = left.map((at) => M.checks[at][2]), level = left.map((at) => M.checks[at][3]);
    const after = left.map((at) => M.checks[at][6].filter((one) => index.has(one)).map((one) => index.get(one)));
    const given = [weighed.probability, find, minutes, level, M.setup, seen.reached];
    const best = R.best_order(...given, after, WANTED);
    const gain = (i) => weighed.probability.reduce((sum, share, k) => sum + share * find[i][k], 0);
    return { checks: best.map((i) => ({ at: left[i], gain: gain(i) })), minutes: R.expected_minutes(...given, best) };
  }

  // ---- reasons, in words
  const often = (n) => ["never", "once", "twice"][n] ?? `${n} times`;
  const times = (ratio) => (ratio >= 1.1 ? `${ratio.toFixed(1)} times likelier` : ratio <= 0.9 ? `${(1 / Math.max(ratio, 1e-6)).toFixed(1)} times less likely` : "says little either way");
  const counted = (pairs, at) => pairs.find(([one]) => one === at)?.[1] ?? 0;

  function standing(at) {
    const family = J.known.family();
    const all = at < 0 ? 0 : counted(M.counts.all, at);
    if (!family) { return at < 0 ? "no fault of this book" : `${J.dom.count(all, "finding", "findings")} of it in the book`; }
    const [total, pairs] = family.counts;
    const here = counted(pairs, at);
    const of = J.dom.count(total, "finding", "findings");
    return at < 0 ? `${of} on this family, ${here} with nothing found` : `found ${often(here)} in ${of} on this family, ${often(all)} in all`;
  }

  function reasons(weighed, k) {
    const told = [standing(weighed.candidates[k])];
    for (const [what, at, factor] of weighed.factors) {
      const ratio = R.times_likelier(weighed.prior, factor, k);
      if (what === "revision") {
        if (weighed.seen.elsewhere.includes(weighed.candidates[k])) { told.push(`known on other revisions of this family, not on this one: ${times(ratio)}`); }
      } else if (what === "there" || what === "not there") {
        told.push(`${J.known.symptoms.get(M.symptoms[at]).title}${what === "there" ? "" : ", looked for and not there"}: ${times(ratio)}`);
      } else if (Math.abs(Math.log(ratio)) > 0.1) {
        told.push(`${J.known.check(M.checks[at][0]).does} (${what}): ${times(ratio)}`);
      }
    }
    return told;
  }

  let stamp = "", last = null;
  // The whole outcome for the job as it stands; reckoned again only when what it rests on has changed.
  function outcome() {
    const seen = evidence();
    const now = JSON.stringify([seen.family, seen.rows.length, seen.present, seen.absent, seen.passed, seen.failed, seen.found, seen.still, seen.elsewhere, seen.reached, seen.rows[0]]);
    if (now !== stamp) {
      const weighed = weigh(seen);
      last = { seen, ...weighed, ...order(seen, weighed), ranked: ranking(weighed), complaint: seen.present.length + seen.failed.length > 0 };
      last.settled = seen.found.length > 0 && weighed.open.length === 0 && weighed.failed.length === 0;
      stamp = now;
    }
    return last;
  }

  const nameOf = (at) => (at < 0 ? "" : M.faults[at]);
  function ranking({ candidates, probability }) {
    return candidates.map((at, k) => ({ at, k, id: nameOf(at), share: probability[k] }))
      .sort((a, b) => b.share - a.share || (a.id < b.id ? -1 : 1));
  }

  J.reckon = { outcome, reasons, weigh, order, byStages, evidence };
})(globalThis.Benchlore ??= {});
