// Job sheet: what to ask the owner, what this family usually needs, and a first estimate with what stands behind it.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.signs) { return; }
  const { el, one, once, sync, count, percent } = J.dom;
  const R = B.rank;
  const ENOUGH = 3;

  // ---- questions
  function asked() {
    const signs = J.record.under("sign").filter(([id, how]) => how === "present" && J.known.symptoms.has(id)).map(([id]) => id);
    return signs.flatMap((id) => J.known.symptoms.get(id).ask.map((words, n) => ({ key: `answer/${id}/${n + 1}`, words })));
  }

  function showAsks() {
    const box = one("[data-asks]"), rows = asked();
    once(box, rows.length ? "some" : "none", () => (rows.length ? [el("h3", null, "Ask the owner"), el("div", { class: "job-answers" })] : []));
    const list = one(".job-answers", box);
    if (list) { sync(list, rows, (row) => row.key, (row) => J.fields.make(row.key, row.words, { placeholder: "answer" })); }
  }

  // What to look at before anything is opened.
  function showFirst() {
    const signs = J.record.under("sign").filter(([id, how]) => how === "present" && J.known.symptoms.has(id)).map(([id]) => id);
    const rows = signs.flatMap((id) => J.known.symptoms.get(id).look);
    once(one("[data-first]"), signs.join(), () => (rows.length ? [el("h3", null, "Look at first, before opening"), el("ul", null, rows.map((words) => el("li", null, words)))] : []));
  }

  // ---- what the family needs
  function showNeeds() {
    const family = J.known.family();
    once(one("[data-needs]"), `n${family?.id}`, () => (family && family.needs.length ? [
      el("h3", null, "What this family usually needs"),
      el("ul", { class: "job-needs" }, family.needs.map((words, n) => el("li", null, J.fields.tick(`need/${n + 1}`, "yes", words)))),
      el("p", { class: "field-help" }, "Tick what the owner agreed to; the rest is offered under advised next."),
      ...family.cautions.map(([hazard, words]) => J.dom.warning(hazard, words)),
    ] : []));
  }

  // ---- estimate: past jobs that are most like this one, as far down as it takes to have a few
  function alike() {
    const family = J.record.get("family");
    const signs = new Set(J.record.under("sign").filter(([, how]) => how === "present").map(([id]) => id));
    const found = new Set(J.record.under("fault").map(([id]) => id));
    const asks = J.record.get("asked").trim() !== "" && signs.size === 0;
    const shares = (list, set) => list.some((id) => set.has(id));
    const tiers = [
      found.size ? ["with the fault found, on this family", (job) => job[0] === family && shares(job[2], found)] : null,
      found.size ? ["with the fault found, on any family", (job) => shares(job[2], found)] : null,
      signs.size ? ["with one of these signs, on this family", (job) => job[0] === family && shares(job[1], signs)] : null,
      asks ? ["that were asked for and no complaint, on this family", (job) => job[0] === family && job[5] && job[1].length === 0] : null,
      signs.size ? ["with one of these signs, on any family", (job) => shares(job[1], signs)] : null,
      J.known.families.has(family) ? ["on this family, of every kind", (job) => job[0] === family] : null,
      ["of every kind, on any family", () => true],
    ].filter(Boolean);
    const tried = tiers.map(([words, fits]) => [words, J.book.jobs.filter(fits)]).filter(([, jobs]) => jobs.length);
    return tried.find(([, jobs]) => jobs.length >= ENOUGH) ?? tried[tried.length - 1] ?? null;
  }

  const rounded = (value) => (value >= 100 ? Math.round(value / 5) * 5 : Math.round(value));

  function spread(jobs, column) {
    const values = jobs.map((job) => job[column]).sort((a, b) => a - b);
    const [low, high, chance] = R.honest_range(values, J.model.range);
    return { middle: R.middle(values), low, high, chance };
  }

  function line(what, of, unit) {
    const range = of.chance > 0 ? `, between ${rounded(of.low)} and ${rounded(of.high)}${unit}` : "";
    return el("li", null, `${what}: `, el("b", null, `about ${rounded(of.middle)}${unit}`), range);
  }

  // The same in one sentence, for the printed page.
  function estimate() {
    const found = alike();
    if (!found) { return null; }
    const [words, jobs] = found;
    return { words, jobs, minutes: spread(jobs, 3), parts: spread(jobs, 4) };
  }

  function showEstimate() {
    const box = one("[data-estimate]"), now = estimate();
    if (!J.known.families.has(J.record.get("family")) && !J.record.under("sign").length) { once(box, "none", () => []); return; }
    const stamp = now ? `${now.words}|${now.jobs.length}|${now.minutes.middle}|${now.parts.middle}` : "no jobs";
    once(box, stamp, () => {
      if (!now) { return [el("h3", null, "First estimate"), el("p", null, "No past job stands behind one: the book has no finding yet.")]; }
      const currency = J.book.shop.currency ? ` ${J.book.shop.currency}` : "";
      const sure = now.minutes.chance > 0 ? ` The next job falls into such a range about ${Math.round(10 * now.minutes.chance)} times in ten.` : "";
      const few = now.jobs.length < ENOUGH ? " That is too few to rely on: name no figure by it." : "";
      return [
        el("h3", null, "First estimate"),
        el("ul", { class: "job-estimate" }, line("Minutes at the bench", now.minutes, " min"), line("Parts", now.parts, currency)),
        el("p", { class: "field-help" }, `From ${count(now.jobs.length, "job", "jobs")} ${now.words}.${sure}${few}`),
      ];
    });
  }

  J.intake = { estimate, asked };
  J.record.onShow(() => { showAsks(); showFirst(); showNeeds(); showEstimate(); });
})(globalThis.Benchlore ??= {});
