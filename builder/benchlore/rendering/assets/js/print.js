// A button that prints, where a page is made for paper. Without scripts the browser's own menu does it.
(function () {
  "use strict";
  var title = document.querySelector(".sheet-paper .plate");
  if (!title || typeof window.print !== "function") { return; }
  var button = document.createElement("button");
  button.type = "button";
  button.className = "action action-first print-button";
  button.textContent = "Print this list";
  button.addEventListener("click", function () { window.print(); });
  title.appendChild(button);
}());
