// The live drawing beside a calculator: drawn again at each answer, blank where there is none.
(function (B) {
  "use strict";
  const figure = document.querySelector("figure[data-drawing]");
  const form = document.querySelector("form[data-calculator]");
  if (!figure || !form || !B?.charts || !Object.hasOwn(B.charts, figure.dataset.drawing)) { return; }
  const { blank, finished } = B.sheet;
  const body = figure.querySelector("[data-drawing-rows]");
  const none = figure.querySelector("[data-drawing-none]");

  // What is typed, by input; rows of a list joined as the address does it.
  function typed() {
    const texts = Object.create(null);
    for (const field of form.querySelectorAll("[data-input]")) {
      const name = field.dataset.input;
      texts[name] = Object.hasOwn(texts, name) ? `${texts[name]}; ${field.value}` : field.value;
    }
    return texts;
  }

  function cell(tag, words) {
    const made = document.createElement(tag);
    if (tag === "th") { made.scope = "row"; }
    made.textContent = words;
    return made;
  }

  function tableRow([first, ...rest]) {
    const made = document.createElement("tr");
    made.append(cell("th", first), ...rest.map((words) => cell("td", words)));
    return made;
  }

  function draw(outcome) {
    const there = Object.keys(outcome.values).length > 0;
    const sheet = blank();
    if (there) { B.charts[figure.dataset.drawing](sheet, { id: outcome.calculator, texts: typed(), values: outcome.values }); }
    figure.querySelector("svg").replaceWith(finished(sheet));
    figure.querySelector("svg").classList.toggle("sheet-none", !there);
    if (body) { body.replaceChildren(...sheet.rows.map(tableRow)); }
    if (none) { none.hidden = there; }
  }

  let waiting = 0;
  form.addEventListener("benchlore:outcome", ({ detail }) => {
    cancelAnimationFrame(waiting);
    waiting = requestAnimationFrame(() => draw(detail));
  });
})(globalThis.Benchlore);
