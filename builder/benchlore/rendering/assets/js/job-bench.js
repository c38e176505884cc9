// Job sheet: opening this family without tearing it, and looking it over tube by tube.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.safe) { return; }
  const { el, one, once } = J.dom;

  // The steps of opening or closing a family; ticks are kept under `prefix`.
  function steps(rows, prefix) {
    return el("ol", { class: "steps job-steps-list" }, rows.map(([does, hazard, warning, tears, expect], n) => el("li", { class: "step" },
      J.fields.tick(`${prefix}/${n + 1}`, "done", does),
      hazard ? J.dom.warning(hazard, warning) : null,
      tears ? el("p", { class: "tears" }, el("b", null, "Tears: "), tears) : null,
      expect ? el("p", { class: "expects" }, el("b", null, "Right when "), expect) : null)));
  }

  function showOpening() {
    const family = J.known.family();
    once(one("[data-opening]"), `o${family?.id}`, () => [
      el("h3", null, "Opening"),
      ...(family ? [steps(family.opening, "open")] : [
        el("p", { class: "field-help" }, "The book does not know how this amp opens: photograph before each screw, and prove every capacitor dead once it is open."),
        J.fields.tick("open/1", "done", "Opened, and every capacitor proved dead again"),
      ]),
    ]);
  }

  function tubeRow(tube) {
    const name = `${tube.at} ${tube.title}`;
    return el("li", { class: "job-look" },
      el("span", { class: "job-look-words" }, el("b", null, tube.at), ` ${tube.title}`, el("span", { class: "under" }, `${tube.job}${tube.matched && tube.matched !== "no" ? `, matched ${tube.matched}` : ""}${tube.note ? `; ${tube.note}` : ""}`)),
      J.fields.choice(`tube/${J.file.part(tube.at)}`, [["fine", "fine"], ["wrong", "not right"]], name),
      J.fields.make(`tube-note/${J.file.part(tube.at)}`, `Note on ${name}`, { quiet: true, placeholder: "getter, glass, retainer, pins" }));
  }

  function showTubes() {
    const family = J.known.family();
    once(one("[data-tubes]"), `t${family?.id}`, () => [
      el("p", { class: "field-help" }, "Each tube cool: getter silver and not white, glass whole, pins straight, retainer or shield in its place."),
      family ? el("ul", { class: "job-looks" }, family.tubes.map(tubeRow)) : J.fields.make("tube-note/all", "Tubes, seat by seat", { placeholder: "types and what was seen" }),
    ]);
  }

  J.bench = { steps };
  J.record.onShow(() => { showOpening(); showTubes(); });
})(globalThis.Benchlore ??= {});
