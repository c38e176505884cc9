// Light or dark by choice, carried from page to page. Without this script the system decides.
(function () {
  "use strict";
  var WORDS = { "": "System", light: "Light", dark: "Dark" };
  var NEXT = { "": "dark", dark: "light", light: "" };

  function known(value) { return Object.prototype.hasOwnProperty.call(WORDS, value) ? value : ""; }

  function show(value, button) {
    if (value) { document.documentElement.setAttribute("data-theme", value); } else { document.documentElement.removeAttribute("data-theme"); }
    button.setAttribute("aria-label", "Colours: " + WORDS[value] + ". Change to " + WORDS[NEXT[value]]);
    button.textContent = WORDS[value];
  }

  var bar = document.querySelector(".top-in");
  if (!bar) { return; }
  var theme = window.Benchlore.carry("theme", "benchlore:theme", ["sessionStorage", "localStorage"], known, "system");
  var button = document.createElement("button");
  button.type = "button";
  button.className = "theme";
  button.addEventListener("click", function () {
    theme.set(NEXT[theme.get() || ""]);
    show(theme.get(), button);
  });
  show(theme.get() || "", button);
  bar.appendChild(button);
}());
