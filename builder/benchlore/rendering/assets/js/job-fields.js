// Job sheet: every field of the page bound to the job, at each keystroke; figures are read the trade's way, bad ones refused beside the field.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.known) { return; }
  const { one, all, setText, setHidden } = J.dom;
  const main = one("[data-job]");
  const DAY = /^\d{4}-\d{2}-\d{2}$/;
  const boxed = (field) => field.type === "checkbox" || field.type === "radio";

  function put(field) {
    const kept = J.record.get(field.dataset.field);
    const text = field.type === "date" && !DAY.test(kept) ? "" : kept; // a browser takes nothing else there
    if (!text && field.tagName === "SELECT" && ![...field.options].some(({ value }) => value === "")) { return; } // it shows what holds meanwhile
    if (boxed(field)) {
      field.checked = text === field.value;
      field.dataset.was = field.checked ? "yes" : "";
    } else if (field.value !== text) { field.value = text; }
  }

  // Show the job in the fields: all of them, or those named.
  function fill(names, root) {
    const wanted = names ? new Set(names) : null;
    for (const field of all("[data-field]", root ?? main)) {
      if (!wanted || wanted.has(field.dataset.field)) {
        put(field);
        judge(field);
        grow(field);
      }
    }
  }

  function grow(field) {
    if (field.tagName !== "TEXTAREA" || !field.offsetParent) { return; }
    field.style.height = "auto";
    field.style.height = `${field.scrollHeight + 2}px`;
  }

  // ---- figures
  function problemOf(field) {
    const { unit, least, most } = field.dataset;
    const text = field.value.trim();
    if (!unit || !text) { return ""; }
    try {
      const { value } = B.quantity.readInput(text, unit);
      if (least !== undefined && value < Number(least)) { return `"${text}" is less than can be; check the figure and its unit.`; }
      if (most !== undefined && value > Number(most)) { return `"${text}" is more than can be; check the figure and its unit.`; }
      return "";
    } catch (error) {
      if (!(error instanceof B.quantity.QuantityProblem)) { throw error; }
      return error.sentence;
    }
  }

  function judge(field) {
    if (!field.dataset.unit) { return; }
    const words = problemOf(field);
    const place = document.getElementById(field.getAttribute("aria-describedby")?.split(" ")[0] ?? "");
    if (place?.dataset.errorOf !== undefined) {
      setText(place, words);
      setHidden(place, words === "");
    }
    if (words) { field.setAttribute("aria-invalid", "true"); } else { field.removeAttribute("aria-invalid"); }
  }

  // The SI value of a figure that was typed, or null where there is none or it is refused.
  function figure(key, unit) {
    const text = J.record.get(key).trim();
    if (!text) { return null; }
    try { return B.quantity.readInput(text, unit).value; } catch { return null; }
  }

  // ---- what is typed
  function take(field) {
    const value = boxed(field) ? (field.checked ? field.value : "") : field.value;
    if (field.type === "radio" && !field.checked) { return; }
    J.record.set(field.dataset.field, value);
  }

  // In the capturing phase: what is typed is in the job before anybody else hears of it.
  main.addEventListener("input", (event) => {
    const field = event.target.closest("[data-field]");
    if (!field) { return; }
    take(field);
    grow(field);
    if (field.getAttribute("aria-invalid")) { judge(field); }
  }, true);
  main.addEventListener("change", (event) => {
    const field = event.target.closest("[data-field]");
    if (field) { take(field); judge(field); }
  });
  // A radio button that is pressed again lets go, so that a wrong tap can be taken back.
  main.addEventListener("click", (event) => {
    const field = event.target;
    if (field.type !== "radio" || !field.dataset?.field) { return; }
    if (field.dataset.was === "yes") {
      field.checked = false;
      J.record.set(field.dataset.field, "");
    }
    for (const other of all(`input[type=radio][name="${CSS.escape(field.name)}"]`, main)) { other.dataset.was = other.checked ? "yes" : ""; }
  });
  // Sections that were closed had no height to grow to.
  main.addEventListener("toggle", (event) => { for (const field of all("textarea", event.target)) { grow(field); } }, true);

  let number = 0;
  // A field made by script, bound like the rest.
  function make(key, label, given) {
    const { unit, hint, kind = "text", mode, placeholder, least, most, quiet } = given ?? {};
    number += 1;
    const id = `g-${number}`;
    const input = J.dom.el("input", { id, type: kind, autocomplete: "off", inputmode: mode, placeholder, "aria-describedby": `${id}-e`, data: { field: key } });
    if (unit) { input.dataset.unit = unit; }
    if (least !== undefined) { input.dataset.least = least; }
    if (most !== undefined) { input.dataset.most = most; }
    put(input);
    const error = J.dom.el("span", { class: "field-error", id: `${id}-e`, hidden: true, data: { errorOf: key } });
    const node = J.dom.el("p", { class: "field" },
      J.dom.el("label", { for: id, class: quiet ? "said" : null }, label, unit && !quiet ? J.dom.el("span", { class: "field-unit" }, ` ${unit}`) : null),
      input, hint ? J.dom.el("span", { class: "field-help" }, hint) : null, error);
    if (input.value) { judge(input); }
    return node;
  }

  function tick(key, value, ...words) {
    const input = J.dom.el("input", { type: "checkbox", value, data: { field: key } });
    put(input);
    return J.dom.el("label", { class: "job-tick" }, input, J.dom.el("span", { class: "tick-words" }, ...words));
  }

  // Two or three answers side by side.
  function choice(key, answers, label) {
    number += 1;
    const name = `g-${number}`;
    return J.dom.el("span", { class: "job-pair", role: "group", "aria-label": label }, answers.map(([value, words]) => {
      const input = J.dom.el("input", { type: "radio", name, value, data: { field: key } });
      put(input);
      return J.dom.el("label", { data: { value } }, input, ` ${words}`);
    }));
  }

  J.fields = { fill, figure, make, tick, choice, grow };
})(globalThis.Benchlore ??= {});
