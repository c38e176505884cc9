// Job sheet: the whole sheet or the owner's page on paper. Areas of text are printed whole, whatever their height on screen.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.jobs) { return; }
  const { el, all } = J.dom;
  const root = document.documentElement;

  let opened = null;
  function before() {
    const owner = document.querySelector(".job-owner");
    if (!owner.open && [...owner.querySelectorAll("input")].some((field) => field.value)) { owner.open = true; opened = owner; }
    for (const copy of all(".print-copy")) { copy.remove(); }
    for (const date of all("[data-job] input[type=date]")) { date.toggleAttribute("data-empty", date.value === ""); }
    for (const area of all("[data-job] textarea")) {
      area.parentNode.insertBefore(el("div", { class: "print-copy" }, area.value), area.nextSibling);
    }
  }

  function after() {
    for (const copy of all(".print-copy")) { copy.remove(); }
    delete root.dataset.print;
    if (opened) { opened.open = false; opened = null; }
  }

  function print(what) {
    root.dataset.print = what;
    window.print();
  }

  window.addEventListener("beforeprint", before);
  window.addEventListener("afterprint", after);
  J.print = { sheet: () => print("sheet"), owner: () => print("owner") };
})(globalThis.Benchlore ??= {});
