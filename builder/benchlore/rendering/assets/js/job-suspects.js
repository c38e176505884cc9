// Job sheet: the list of suspects, each with its reasons, and what is merely worth a look while the amp is open.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.reckon) { return; }
  const { el, one, sync, setText, setHidden, percent, link, button, count } = J.dom;
  const SHOWN = 8, LEAST_SHARE = 0.01;
  const box = one("[data-suspects]"), list = one("[data-suspects-list]"), said = one("[data-suspects-said]"), now = one("[data-suspect-now]"), open = one("[data-while-open]");
  const wide = matchMedia("(min-width: 76rem)");
  const unfold = () => { box.open = wide.matches; };
  wide.addEventListener("change", unfold);
  unfold();

  const titleOf = (suspect) => (suspect.at < 0 ? "Something not in this book" : J.known.fault(suspect.id).title);

  function make(suspect) {
    const known = suspect.at >= 0;
    return el("li", { class: "suspect" },
      el("div", { class: "suspect-head" },
        known ? link(J.known.faultUrl(suspect.id), titleOf(suspect)) : el("span", null, titleOf(suspect)),
        el("b", { class: "suspect-share" })),
      el("div", { class: "suspect-bar", "aria-hidden": "true" }, el("span", null)),
      el("p", { class: "suspect-note", hidden: true }),
      el("div", { class: "suspect-do" },
        el("details", { class: "suspect-why" }, el("summary", null, "Why"), el("ul", null)),
        known ? foundButton(suspect) : null));
  }

  function foundButton(suspect) {
    const found = button("This is it", () => J.work.found(suspect.id), "job-button suspect-found");
    found.setAttribute("aria-label", `This is it: ${titleOf(suspect)}`);
    return found;
  }

  function show(node, suspect) {
    setText(one(".suspect-share", node), percent(suspect.share));
    one(".suspect-bar span", node).style.width = `${(100 * suspect.share).toFixed(1)}%`;
    const reasons = J.reckon.reasons(J.reckon.outcome(), suspect.k);
    sync(one(".suspect-why ul", node), reasons, (words) => words, (words) => el("li", null, words));
    const note = one(".suspect-note", node), words = noteOf(suspect.id);
    setText(note, words);
    setHidden(note, words === "");
  }

  // What the family says of this fault, and whether it belongs to the revision on the bench.
  function noteOf(id) {
    const family = J.known.family();
    const row = family?.faults.find(([fault]) => fault === id);
    if (!row) { return ""; }
    const [, common, here, via, since, until] = row;
    const out = J.family.outside(family, since, until);
    return `${out ? `Not on this revision (${out}). ` : ""}${via ? "" : `${common} here${here ? `: ${here}` : ""}`}`;
  }

  function sayings(outcome) {
    if (outcome.settled) { return "All that was complained of is explained by what was found. Nothing is left to look for."; }
    const parts = [];
    if (outcome.seen.found.length) { parts.push(outcome.open.length ? `Still unexplained: ${outcome.open.map((at) => J.known.symptoms.get(J.model.symptoms[at]).title).join("; ")}.` : "A failed check is still unexplained."); }
    if (!outcome.complaint) { parts.push(outcome.seen.absent.length || outcome.seen.passed.length ? "" : "No sign yet: this is how often each is met here."); }
    return parts.filter(Boolean).join(" ");
  }

  let top = "";
  J.record.onShow(() => {
    const outcome = J.reckon.outcome();
    const ranked = outcome.settled ? [] : outcome.ranked.filter((one_, n) => n < 3 || one_.share >= LEAST_SHARE).slice(0, SHOWN);
    sync(list, ranked, (suspect) => suspect.id || "-", make, show);
    const words = sayings(outcome);
    setText(said, words);
    setHidden(said, words === "");
    const first = ranked[0];
    rest(outcome, ranked);
    setText(now, outcome.settled ? "all explained" : first ? titleOf(first) : "");
    setText(one("[data-suspect-now-share]"), first ? percent(first.share) : "");
    whileOpen();
    const told = outcome.complaint && first ? `${first.id} ${percent(first.share)}` : "";
    if (told && top && told !== top) { J.dom.say(`Most likely now: ${titleOf(first)}, ${percent(first.share)}`); }
    top = told;
  });

  function rest(outcome, shown) {
    const others = outcome.ranked.filter(({ share }) => share > 0).length - shown.length;
    const share = 1 - shown.reduce((sum, one_) => sum + one_.share, 0);
    setText(one("[data-suspects-rest]"), shown.length && others > 0 ? `and ${others} more, ${percent(Math.max(share, 0))} together` : "");
  }

  // Wear that is usual in the family: looked at while it is open, never a suspect.
  function whileOpen() {
    const family = J.known.family();
    const wear = family ? family.faults.filter(([id]) => J.known.fault(id).open) : [];
    const loose = family ? family.hardware.filter((one_) => one_.often === "nearly every one" || one_.often === "common") : [];
    J.dom.once(open, `${family?.id}`, () => (!wear.length && !loose.length ? [] : [
      el("h3", null, "While it is open"),
      el("p", { class: "field-help" }, "Usual here, and no suspect for the complaint."),
      el("ul", null, [
        ...wear.map(([id, common]) => el("li", null, link(J.known.faultUrl(id), J.known.fault(id).title), el("span", { class: "under" }, common))),
        ...loose.map((one_) => el("li", null, `${one_.what}: ${count(one_.count, "fastener", "fasteners")}`, el("span", { class: "under" }, `${one_.often} found loose`))),
      ]),
    ]));
  }

  J.suspects = { titleOf, unfold };
})(globalThis.Benchlore ??= {});
