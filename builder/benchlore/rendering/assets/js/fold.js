// Folds the long parts of a page on a phone. The pages are written unfolded: without this script, on a wide screen and on paper
// all of it is there. What an address points at and what a search marked is never folded away; going back finds it as it was left.
(function () {
  "use strict";
  var folds = Array.from(document.querySelectorAll("details[data-fold]"));
  if (!folds.length) return;
  var narrow = window.matchMedia("(max-width: 48rem)"), printing = false, settled = false;

  function pointedAt(hash) {
    try { return document.getElementById(decodeURIComponent(hash.slice(1))); } catch (odd) { return null; }
  }

  function holds(fold, place) { return Boolean(place) && (fold.contains(place) || fold.parentElement === place); }

  function keep() {
    if (!settled || printing || !narrow.matches) return;
    var open = folds.reduce(function (all, fold, at) { return fold.open ? all.concat(at) : all; }, []);
    try { window.history.replaceState(Object.assign({}, window.history.state, { folds: open }), ""); } catch (refused) { /* not kept, then */ }
  }

  function reveal(place) {
    folds.forEach(function (fold) { if (holds(fold, place)) fold.open = true; });
    if (place) place.scrollIntoView();
  }

  function openAll() { folds.forEach(function (fold) { fold.open = true; }); }

  function foldAway() {
    var kept = window.history.state && window.history.state.folds, place = pointedAt(window.location.hash);
    folds.forEach(function (fold, at) {
      fold.open = Array.isArray(kept) ? kept.includes(at) : holds(fold, place) || Boolean(fold.querySelector("mark[data-found]"));
    });
    if (place && !Array.isArray(kept)) place.scrollIntoView({ behavior: "instant" });
  }

  narrow.addEventListener("change", function () { if (narrow.matches) foldAway(); else openAll(); });
  window.addEventListener("hashchange", function () { reveal(pointedAt(window.location.hash)); });
  document.addEventListener("click", function (event) {
    var link = event.target.closest("a[href^='#']");
    if (link && link.hash === window.location.hash) reveal(pointedAt(link.hash));
  });
  window.addEventListener("beforeprint", function () {
    printing = true;
    folds.forEach(function (fold) { fold.dataset.fold = fold.open ? "open" : "shut"; fold.open = true; });
  });
  window.addEventListener("afterprint", function () {
    folds.forEach(function (fold) { fold.open = fold.dataset.fold !== "shut"; });
    window.setTimeout(function () { printing = false; }, 0);
  });
  folds.forEach(function (fold) { fold.addEventListener("toggle", keep); });
  if (narrow.matches) foldAway();
  window.setTimeout(function () { settled = true; }, 0);
})();
