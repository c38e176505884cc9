// Light or dark by choice. The choice is kept where the browser lets pages share (sessionStorage, localStorage). Firefox shares
// neither between folders of files opened from disk, so there the choice goes along in the address and is taken out of it
// on arrival. Without this script the system decides.
(function () {
  "use strict";
  var KEY = "benchlore:theme";
  var WORDS = { "": "System", light: "Light", dark: "Dark" };
  var NEXT = { "": "dark", dark: "light", light: "" };
  var CARRIED = "theme";

  function known(value) { return Object.prototype.hasOwnProperty.call(WORDS, value) ? value : ""; }

  function kept(store) {
    try { return window[store].getItem(KEY); } catch (refused) { return null; }
  }

  function keep(value) {
    ["sessionStorage", "localStorage"].forEach(function (store) {
      try { window[store].setItem(KEY, value); } catch (refused) { /* the choice then goes by the address alone */ }
    });
  }

  function arrive() {
    var address = new URL(window.location.href);
    var carried = address.searchParams.get(CARRIED);
    if (carried === null) { return null; }
    address.searchParams.delete(CARRIED);
    try { window.history.replaceState(window.history.state, "", address.href); } catch (refused) { /* it stays in the address */ }
    keep(known(carried));
    return known(carried);
  }

  function carry(event) {
    var link = event.target.closest ? event.target.closest("a[href]") : null;
    if (chosen === null || !link || link.protocol !== "file:" || link.pathname === window.location.pathname) { return; }
    var address = new URL(link.href);
    address.searchParams.set(CARRIED, chosen || "system");
    link.href = address.href;
  }

  function show(value, button) {
    if (value) { document.documentElement.setAttribute("data-theme", value); } else { document.documentElement.removeAttribute("data-theme"); }
    button.setAttribute("aria-label", "Colours: " + WORDS[value] + ". Change to " + WORDS[NEXT[value]]);
    button.textContent = WORDS[value];
  }

  var bar = document.querySelector(".top-in");
  if (!bar) { return; }
  var chosen = arrive();
  if (chosen === null) { chosen = kept("sessionStorage"); }
  if (chosen === null) { chosen = kept("localStorage"); }
  if (chosen !== null) { chosen = known(chosen); }
  var button = document.createElement("button");
  button.type = "button";
  button.className = "theme";
  button.addEventListener("click", function () {
    chosen = NEXT[chosen || ""];
    keep(chosen);
    show(chosen, button);
  });
  if (window.location.protocol === "file:") {
    ["click", "auxclick"].forEach(function (way) { document.addEventListener(way, carry, true); });
  }
  show(chosen || "", button);
  bar.appendChild(button);
}());
