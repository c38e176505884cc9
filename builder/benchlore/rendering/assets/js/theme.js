// Light or dark by choice. The choice goes with the tab (sessionStorage); where the browser lets pages share
// more (localStorage), it is still there tomorrow. Without this script the system decides.
(function () {
  "use strict";
  var KEY = "benchlore:theme";
  var WORDS = { "": "System", light: "Light", dark: "Dark" };
  var NEXT = { "": "dark", dark: "light", light: "" };

  function kept(store) {
    try { return window[store].getItem(KEY); } catch (refused) { return null; }
  }

  function keep(value) {
    ["sessionStorage", "localStorage"].forEach(function (store) {
      try { window[store].setItem(KEY, value); } catch (refused) { /* the choice then holds for this page only */ }
    });
  }

  function wanted() {
    var value = kept("sessionStorage");
    if (value === null) { value = kept("localStorage"); }
    return Object.prototype.hasOwnProperty.call(WORDS, value) ? value : "";
  }

  function show(value, button) {
    if (value) { document.documentElement.setAttribute("data-theme", value); } else { document.documentElement.removeAttribute("data-theme"); }
    button.setAttribute("aria-label", "Colours: " + WORDS[value] + ". Change to " + WORDS[NEXT[value]]);
    button.textContent = WORDS[value];
  }

  var bar = document.querySelector(".top-in");
  if (!bar) { return; }
  var value = wanted();
  var button = document.createElement("button");
  button.type = "button";
  button.className = "theme";
  button.addEventListener("click", function () {
    value = NEXT[value];
    keep(value);
    show(value, button);
  });
  show(value, button);
  bar.appendChild(button);
}());
