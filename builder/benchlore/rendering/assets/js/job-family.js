// Job sheet: which amp it is. Typed and offered; its revision; or, where it is not in the book, the stages it is made of.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.suspects) { return; }
  const { el, one, once, setText, setHidden, sync, button } = J.dom;
  const input = one("#f-family-text"), offers = one("[data-family-offers]"), said = one("[data-family-said]");
  const SHOWN = 6;

  function choose(id) {
    const family = J.known.families.get(id);
    J.record.setAll([["family", id], ["family-text", family ? family.title : J.record.get("family-text")], ["revision", ""]]);
    J.dom.say(family ? `Family: ${family.title}` : "Not in the book; tick its stages.");
    if (!family) { one("[data-stages] input")?.focus(); } else { one("#f-serial").focus(); }
  }

  const exact = (text) => {
    const folded = J.find.fold(text.trim());
    return [...J.known.families.values()].find((family) => family.names.some((name) => J.find.fold(name) === folded))?.id ?? "";
  };

  input.addEventListener("input", () => {
    const id = exact(input.value);
    const before = J.record.get("family");
    if (id && id !== before) { J.record.setAll([["family", id], ["family-text", input.value], ["revision", ""]]); }
    if (!id && before && before !== "none") { J.record.set("family", ""); }
  });
  input.addEventListener("keydown", (event) => {
    const first = offers.querySelector("button");
    if (event.key === "Enter" && first && !J.known.families.has(J.record.get("family"))) { event.preventDefault(); first.click(); }
  });

  // Does a weak point belong to the revision on the bench? The words of its limits where it does not.
  function outside(family, since, until) {
    const at = (key) => family.revisions.findIndex((one_) => one_.key === key);
    const mine = at(J.record.get("revision"));
    if (mine < 0) { return ""; }
    const name = (key) => family.revisions[at(key)]?.name ?? key;
    if (since && at(since) > mine) { return `since ${name(since)}`; }
    if (until && at(until) >= 0 && at(until) < mine) { return `until ${name(until)}`; }
    return "";
  }

  // Search brings forward what belongs to the family on the bench.
  J.record.onShow(() => { const id = J.record.get("family"); B.bench?.put(J.known.families.has(id) ? id : ""); });

  function showOffers() {
    const text = J.record.get("family-text"), chosen = J.record.get("family");
    const open = text.trim() !== "" && !J.known.families.has(chosen);
    const found = open && chosen !== "none" ? J.find.families(text, SHOWN) : [];
    const rows = [...found, ...(open && chosen !== "none" ? ["none"] : [])];
    sync(offers, rows, (id) => id, (id) => {
      const family = J.known.families.get(id);
      return el("li", null, button(family ? [el("b", null, family.title), ` ${family.maker}, ${family.years}`] : "Not in this book", () => choose(id), "job-offer"));
    });
    const family = J.known.families.get(chosen);
    setText(said, family ? `${family.maker}, ${family.years}` : chosen === "none" ? "Not in this book: worked by its stages." : open && !found.length ? "No such name in this book." : "");
    if (family && J.known.missing.has(chosen)) { setText(said, "This family’s file is missing from the site: build it again."); }
  }

  // The revision that the serial points to, where both are plain numbers.
  function bySerial(family) {
    const serial = J.record.get("serial").trim();
    if (!family || !/^\d{1,15}$/.test(serial)) { return null; }
    const begun = family.revisions.filter(({ serial: from }) => /^\d{1,15}$/.test(from) && Number(from) <= Number(serial));
    return begun.reduce((latest, one_) => (!latest || Number(one_.serial) >= Number(latest.serial) ? one_ : latest), null);
  }

  function showRevisions() {
    const family = J.known.family(), box = one("[data-revision-box]"), select = one("#f-revision");
    setHidden(box, !family || family.revisions.length === 0);
    once(select, `r${family?.id}`, () => [el("option", { value: "" }, "not known yet"), ...(family?.revisions ?? []).map((one_) => el("option", { value: one_.key }, `${one_.name}${one_.serial ? `, from ${one_.serial}` : ""}`))]);
    if (select.value !== J.record.get("revision")) { select.value = J.record.get("revision"); }
    const mine = family?.revisions.find((one_) => one_.key === J.record.get("revision")), meant = bySerial(family);
    setText(one("[data-revision-said]"), mine ? mine.differs : meant ? `By its serial it is ${meant.name}: ${meant.marks.join("; ")}. Look before you choose it.` : family ? family.revisions.map((one_) => `${one_.name}: ${one_.marks.join("; ")}`).join(". ") : "");
  }

  function showStages() {
    const box = one("[data-stages-box]");
    setHidden(box, J.record.get("family") !== "none");
    once(one("[data-stages]"), "stages", () => [...J.known.stages.values()].map((stage) => J.fields.tick(`stage/${stage.id}`, "yes", stage.title, el("span", { class: "under" }, stage.group))));
  }

  J.family = { choose, outside };
  J.record.onShow(() => { showOffers(); showRevisions(); showStages(); });
})(globalThis.Benchlore ??= {});
