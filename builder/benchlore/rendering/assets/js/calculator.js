// The live calculator: fields to answer at each keystroke, rows added and removed, everything carried in the address.
// What stands in the address is data: it fills fields that are there, and nothing else.
(function (B) {
  "use strict";
  const form = document.querySelector("form[data-calculator]");
  if (!form || !B || !Object.hasOwn(B.calculators ?? {}, form.dataset.calculator)) { return; }
  const id = form.dataset.calculator;
  const calculator = B.calculators[id];
  const LONGEST_FRAGMENT = 6000, LONGEST_TEXT = 2000;
  const all = (selector, root) => [...(root ?? document).querySelectorAll(selector)];
  const fieldsOf = (name) => all("[data-input]", form).filter((field) => field.dataset.input === name);
  const tolerancesOf = () => all("[data-tolerance]");

  // ---- reading the page
  function typed() {
    const texts = Object.create(null);
    for (const { name } of calculator.inputs) {
      const fields = fieldsOf(name);
      if (fields.length) { texts[name] = fields.map((field) => field.value).join("; "); }
    }
    return texts;
  }

  const typedTolerances = () => Object.fromEntries(tolerancesOf().map((field) => [field.dataset.tolerance, field.value]));

  // ---- writing the answer
  function showProblems(problems) {
    for (const place of all("[data-error-for]")) {
      const sentence = problems[place.dataset.errorFor] ?? "";
      if (place.textContent !== sentence) { place.textContent = sentence; }
      place.hidden = sentence === "";
    }
    for (const field of all("[data-input]", form)) { mark(field, Object.hasOwn(problems, field.dataset.input)); }
    for (const field of tolerancesOf()) { mark(field, Object.hasOwn(problems, `tolerance.${field.dataset.tolerance}`)); }
  }

  function mark(field, wrong) {
    if (wrong) { field.setAttribute("aria-invalid", "true"); } else { field.removeAttribute("aria-invalid"); }
  }

  // A minus sign as long as a plus; the builder does the same for the figures without scripts.
  const signed = (text) => text.replace(/(?<![0-9A-Za-z])-(?=[0-9.])/g, "\u2212");

  function showResults(outcome) {
    const of = (name) => (Object.hasOwn(outcome.results, name) ? outcome.results[name] : null);
    for (const place of all("[data-result]")) {
      const result = of(place.dataset.result);
      place.textContent = result ? signed(result.text) : "";
      place.dataset.si = result ? JSON.stringify(result.value) : "";
    }
    for (const place of all("[data-uncertainty]")) { place.textContent = of(place.dataset.uncertainty)?.uncertaintyText ?? ""; }
    for (const place of all("[data-dominant]")) { place.textContent = of(place.dataset.dominant)?.dominantText ?? ""; }
    for (const place of all("[data-verdict]")) {
      const verdict = of(place.dataset.verdict)?.verdict;
      place.textContent = verdict ? signed(verdict.words) : "";
      if (verdict) { place.dataset.mark = verdict.mark; } else { delete place.dataset.mark; }
    }
    for (const row of all("[data-row]", form)) {
      const at = all("[data-row]", row.parentNode).indexOf(row);
      for (const place of all("[data-result-item]", row)) { place.textContent = signed(of(place.dataset.resultItem)?.items[at] ?? ""); }
    }
  }

  function showWorking(outcome) {
    for (const place of all("[data-working]")) { place.textContent = outcome.working.join("\n"); }
    for (const place of all("[data-put]")) { place.textContent = outcome.working.length ? outcome.said(place.dataset.put) : "\u2026"; }
    for (const button of all("[data-copy-working]")) { button.hidden = outcome.working.length === 0; }
  }

  function answer() {
    const outcome = B.evaluate(id, typed(), typedTolerances());
    showProblems(outcome.problems);
    showResults(outcome);
    showWorking(outcome);
    form.dispatchEvent(new CustomEvent("benchlore:outcome", { bubbles: true, detail: outcome }));
  }

  // ---- rows of lists
  const rowsOf = (table) => all("[data-row]", table);

  function relabel(table) {
    const rows = rowsOf(table);
    rows.forEach((row, index) => {
      for (const field of all("[aria-label]", row)) { field.setAttribute("aria-label", field.getAttribute("aria-label").replace(/\d+$/, String(index + 1))); }
      for (const button of all("[data-remove-row]", row)) { button.disabled = rows.length <= Number(table.dataset.least || 1); }
    });
    for (const button of all("[data-add-row]")) {
      if (button.dataset.addRow === table.dataset.table) { button.disabled = rows.length >= Number(table.dataset.most || 12); }
    }
  }

  // Nothing is made from text: a new row is a copy of the last one, its fields set afterwards.
  function setRows(table, count) {
    const wanted = Math.min(Math.max(count, Number(table.dataset.least || 1)), Number(table.dataset.most || 12));
    let rows = rowsOf(table);
    while (rows.length > wanted) {
      rows[rows.length - 1].remove();
      rows = rowsOf(table);
    }
    while (rows.length < wanted) {
      const last = rows[rows.length - 1], fresh = last.cloneNode(true);
      all("[data-input]", last).forEach((field, i) => { all("[data-input]", fresh)[i].value = field.value; });
      for (const element of [fresh, ...all("[id]", fresh)]) { element.removeAttribute("id"); }
      last.after(fresh);
      rows = rowsOf(table);
    }
    relabel(table);
  }

  const tables = all("[data-table]", form);

  form.addEventListener("click", (event) => {
    const adding = event.target.closest("[data-add-row]"), removing = event.target.closest("[data-remove-row]");
    if (adding) {
      const table = tables.find((one) => one.dataset.table === adding.dataset.addRow);
      if (table) {
        setRows(table, rowsOf(table).length + 1);
        all("[data-input]", rowsOf(table).at(-1))[0]?.focus();
      }
    } else if (removing) {
      removeRow(removing.closest("[data-row]"));
    }
    if (adding || removing) { changed(); }
  });

  function removeRow(row) {
    const table = row.closest("[data-table]");
    if (rowsOf(table).length <= Number(table.dataset.least || 1)) { return; }
    const next = row.nextElementSibling ?? row.previousElementSibling;
    row.remove();
    relabel(table);
    all("[data-remove-row]", next)[0]?.focus();
  }

  // ---- the address
  function fill(name, text) {
    const fields = fieldsOf(name);
    if (fields.length === 0) { return false; }
    const table = fields[0].closest("[data-table]");
    if (!table) { return setField(fields[0], text); }
    const items = text.split(";").map((item) => item.trim());
    if (items.length > rowsOf(table).length || name === all("[data-input]", table)[0].dataset.input) { setRows(table, items.length); }
    fieldsOf(name).forEach((field, i) => { field.value = items[i] ?? items[items.length - 1]; });
    return true;
  }

  // Whether the field could take it: a choice that is not there leaves the field as it was.
  function setField(field, text) {
    if (!(field instanceof HTMLSelectElement)) {
      field.value = text;
      return true;
    }
    const option = [...field.options].find((one) => one.value.toLowerCase() === text.trim().toLowerCase());
    if (option) { field.value = option.value; }
    return option !== undefined;
  }

  function pairsOf(fragment) {
    if (fragment.length > LONGEST_FRAGMENT) { return []; }
    return fragment.replace(/^#/, "").split("&").filter((pair) => pair.includes("=")).map((pair) => {
      const at = pair.indexOf("=");
      try {
        return [pair.slice(0, at), pair.slice(at + 1)].map((part) => decodeURIComponent(part.replaceAll("+", "%2B")));
      } catch {
        return ["", ""];
      }
    }).filter(([, text]) => text.length <= LONGEST_TEXT);
  }

  function readAddress() {
    const known = new Set(calculator.inputs.map((one) => one.name));
    const pairs = pairsOf(location.hash);
    const given = new Set(), refused = new Map();
    for (const [name, text] of pairs) {
      if (known.has(name) && fill(name, text)) { given.add(name); } else if (known.has(name)) { refused.set(name, text); }
      const field = name.startsWith("tolerance.") ? tolerancesOf().find((one) => one.dataset.tolerance === name.slice(10)) : null;
      if (field) { field.value = text; }
    }
    if (given.size + refused.size > 0) { tellExamples(given, refused); }
    return pairs.length > 0;
  }

  // ---- what a link left open: those fields still hold the example's figures, which are of another amp
  const note = document.querySelector("[data-filled-note]");
  let examples = new Set(), odd = "";

  function tellExamples(given, refused) {
    examples = new Set(calculator.inputs.filter((one) => one.kind !== "choice" && !given.has(one.name)).map((one) => one.name));
    odd = [...refused].map(([name, text]) => `The link names "${text.slice(0, 40)}" for ${labelOf(name)}, which is not known here. `).join("");
    showExamples();
  }

  const labelOf = (name) => {
    const label = calculator.inputs.find((one) => one.name === name).label;
    return /^.\p{Ll}/u.test(label) ? label.charAt(0).toLowerCase() + label.slice(1) : label;
  };

  function showExamples() {
    for (const field of all("[data-input]", form)) {
      const home = field.closest("[data-row]") ? field.parentNode : field.closest(".field");
      if (home) { home.toggleAttribute("data-example", examples.has(field.dataset.input)); }
    }
    if (!note) { return; }
    const left = [...examples].map(labelOf).join("; ");
    note.textContent = left ? `${odd}Filled in from the link. These fields still hold the example's figures; put in your own: ${left}.` : odd.trim();
    note.hidden = note.textContent === "";
  }

  function settle(event) {
    const name = event.target?.dataset?.input;
    if (examples.delete(name)) { showExamples(); }
  }

  const plainly = (text) => encodeURIComponent(text).replaceAll("%3B", ";").replaceAll("%2F", "/");

  function writeAddress() {
    const pairs = Object.entries(typed()).map(([name, text]) => `${name}=${plainly(text)}`);
    for (const field of tolerancesOf()) {
      if (field.value !== field.defaultValue) { pairs.push(`tolerance.${field.dataset.tolerance}=${plainly(field.value)}`); }
    }
    try {
      history.replaceState(history.state, "", `#${pairs.join("&")}`);
    } catch { /* the address then stays as it was; the sum is right all the same */ }
  }

  let waiting = 0;
  function changed() {
    answer();
    clearTimeout(waiting);
    waiting = setTimeout(writeAddress, 300);
  }

  // ---- buttons
  function reset() {
    for (const input of calculator.inputs) { fill(input.name, input.default); }
    for (const field of tolerancesOf()) { field.value = field.defaultValue; }
    examples = new Set();
    odd = "";
    showExamples();
    changed();
  }

  function select(place) {
    const range = document.createRange();
    range.selectNodeContents(place);
    getSelection().removeAllRanges();
    getSelection().addRange(range);
  }

  async function copyWorking(button) {
    const place = document.querySelector("[data-working]");
    if (!place) { return; }
    const label = button.textContent;
    try {
      await navigator.clipboard.writeText(place.textContent);
      button.textContent = "Copied";
    } catch {
      select(place);
      button.textContent = document.execCommand("copy") ? "Copied" : "Selected: copy it now";
    }
    setTimeout(() => { button.textContent = label; }, 2000);
  }

  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", settle);
  form.addEventListener("input", changed);
  form.addEventListener("change", changed);
  for (const field of tolerancesOf()) { if (!form.contains(field)) { field.addEventListener("input", changed); } }
  for (const button of all("[data-reset]")) {
    button.hidden = false;
    button.addEventListener("click", reset);
  }
  for (const button of all("[data-copy-working]")) { button.addEventListener("click", () => copyWorking(button)); }
  addEventListener("hashchange", () => { if (readAddress()) { answer(); } });
  tables.forEach(relabel);
  readAddress();
  answer();
})(globalThis.Benchlore);
