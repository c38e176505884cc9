// Job sheet: faults found and mended, changes made, parts used; from them follows what was touched.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.idle) { return; }
  const { el, one, all, once, sync, setText, setHidden, button, link } = J.dom;
  const SHOWN = 6;
  // What a change touches, by the sums it calls for.
  const SUMS_TOUCH = { "bias-change": "bias", "idle-window": "bias", "cathode-resistor": "bias", "speaker-exchange": "speaker", cabinets: "speaker" };

  function found(id) {
    J.record.set(`fault/${id}`, "found");
    J.dom.say(`Found: ${J.known.fault(id).title}. It stands under Work done.`);
  }

  const foundIds = () => J.record.under("fault").map(([id]) => id);
  const mended = (id) => !J.record.has(`mended/${id}`, "no");

  function takeParts(id) {
    const rows = partRows().length;
    J.record.setAll(J.known.fault(id).parts.flatMap(([what, number], n) => [[`part/${rows + n + 1}/what`, what], [`part/${rows + n + 1}/count`, String(number)]]));
    J.dom.say("Parts added to the list.");
  }

  function foundRow(id) {
    const fault = J.known.fault(id);
    const remove = button("Not this", () => {
      for (const key of [`fault/${id}`, `mended/${id}`]) { J.record.set(key, ""); }
      one("#job-add-fault").focus();
    });
    remove.setAttribute("aria-label", `Not this: ${fault.title}`);
    return el("li", { class: "job-fault" },
      el("p", { class: "job-fault-title" }, link(J.known.faultUrl(id), fault.title)),
      el("span", { class: "sign-do" }, J.fields.choice(`mended/${id}`, [["yes", "mended"], ["no", "left as it is"]], fault.title), remove),
      J.fields.make(`fault-note/${id}`, `What was seen: ${fault.title}`, { quiet: true, placeholder: "where exactly, what was read" }),
      el("details", { class: "job-how" }, el("summary", null, `How to mend it, about ${fault.minutes} min`),
        el("ol", null, fault.fix.map((words) => el("li", null, words))),
        fault.parts.length ? el("ul", null, fault.parts.map(([what, number, note]) => el("li", null, `${number} × ${what}`, note ? el("span", { class: "under" }, note) : null))) : null,
        fault.parts.length ? button("Put these under parts used", () => takeParts(id)) : null),
      ...fault.cautions.map(([hazard, words]) => J.dom.warning(hazard, words)));
  }

  const adding = one("#job-add-fault");
  function showFound() {
    const ids = foundIds();
    sync(one("[data-found]"), ids, (id) => id, foundRow);
    setHidden(one("[data-found-none]"), ids.length > 0);
    const offers = adding.value.trim() ? J.find.faults(adding.value, SHOWN).filter((id) => !ids.includes(id)) : [];
    sync(one("[data-fault-offers]"), offers, (id) => id, (id) => el("li", null, button(J.known.fault(id).title, () => { adding.value = ""; found(id); adding.focus(); }, "job-offer")));
    setText(one("#add-fault-said"), adding.value.trim() ? J.dom.count(offers.length, "fault fits", "faults fit") : "");
  }
  adding.addEventListener("input", showFound);

  // ---- changes worth offering, of the family and its stages
  const changes = () => (J.known.family()?.changes ?? []).filter((change) => J.record.has(`change/${change.key}`, "yes"));

  const changeRow = (change) => el("li", null, J.fields.tick(`change/${change.key}`, "yes", change.change,
    el("span", { class: "under" }, `Mind: ${change.limits}`), change.undone ? null : el("span", { class: "under" }, "Cannot be undone without trace.")));

  function showChanges() {
    const family = J.known.family();
    once(one("[data-changes]"), `c${family?.id}`, () => {
      const own = (family?.changes ?? []).filter((change) => change.own), others = (family?.changes ?? []).filter((change) => !change.own);
      return own.length + others.length ? [
        el("h3", null, "Changes made"),
        el("ul", { class: "job-changes" }, own.map(changeRow)),
        others.length ? el("details", { class: "job-how", open: others.some((change) => J.record.has(`change/${change.key}`, "yes")) }, el("summary", null, "More, that go with its stages"), el("ul", { class: "job-changes" }, others.map(changeRow))) : null,
      ] : [];
    });
  }

  // ---- what was touched: ticked, or because of a mend or a change
  function touched() {
    const why = new Map();
    const add = (what, words) => { if (Object.hasOwn(J.book.closing, what)) { why.set(what, [...(why.get(what) ?? []), words]); } };
    for (const [what] of J.record.under("touched")) { add(what, ""); }
    for (const id of foundIds()) { if (mended(id)) { for (const what of J.known.fault(id).touches) { add(what, J.known.fault(id).title); } } }
    for (const change of changes()) { for (const what of new Set(change.sums.map((sum) => SUMS_TOUCH[sum]).filter(Boolean))) { add(what, change.change); } }
    return why;
  }

  function showTouched() {
    const why = touched();
    for (const node of all("[data-touched-why]")) {
      const words = (why.get(node.dataset.touchedWhy) ?? []).filter(Boolean);
      setText(node, words.length ? `touched by: ${words.join("; ")}` : "");
    }
  }

  // ---- parts
  function partRows() {
    const numbers = J.record.under("part").map(([rest]) => Number(rest.split("/")[0])).filter(Number.isInteger);
    const last = Math.max(0, ...numbers);
    return Array.from({ length: Math.min(last, 60) }, (_, n) => ({ n: n + 1, what: J.record.get(`part/${n + 1}/what`), count: J.record.get(`part/${n + 1}/count`), cost: J.record.get(`part/${n + 1}/cost`) }));
  }

  const partsSum = () => partRows().reduce((sum, { n }) => sum + (J.fields.figure(`part/${n}/cost`, "1") ?? 0) * (J.fields.figure(`part/${n}/count`, "1") ?? 1), 0);
  const partsCost = () => J.fields.figure("parts-cost", "1") ?? Math.round(100 * partsSum()) / 100;

  function showParts() {
    const box = one("[data-parts]");
    once(box, "parts", () => [el("ul", { class: "job-parts" }), el("p", { class: "field-help", data: { partsSum: "" } })]);
    const rows = [...partRows().map(({ n }) => n)];
    sync(one(".job-parts", box), [...rows, rows.length + 1], (n) => n, (n) => el("li", { class: "job-part" },
      J.fields.make(`part/${n}/what`, `Part ${n}`, { placeholder: "what" }),
      J.fields.make(`part/${n}/count`, "How many", { mode: "numeric" }),
      J.fields.make(`part/${n}/cost`, "Cost each", { mode: "decimal" })));
    const sum = partsSum();
    setText(one("[data-parts-sum]"), sum ? `Parts together: ${sum.toFixed(2)} ${J.book.shop.currency}` : "");
  }

  J.work = { found, foundIds, mended, changes, touched, partRows, partsCost };
  J.record.onShow(() => { showFound(); showChanges(); showTouched(); showParts(); });
})(globalThis.Benchlore ??= {});
