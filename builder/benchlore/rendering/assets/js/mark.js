// Marks the words that a search found, on the page it opened: page.html?mark=hum+humming#seen marks them in that section.
(function () {
  "use strict";
  var MOST = 400, LEAD = /^[^0-9A-Za-z\u00c0-\uffff#]+/, TAIL = /[^0-9A-Za-z\u00c0-\uffff+%]+$/;
  var LEFT_ALONE = "script, style, textarea, select, input, svg, math, mark, nav, [data-search]";
  var carried = new URLSearchParams(window.location.search).get("mark");
  if (!carried) return;

  function fold(text) { return text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase().replace(/['\u2019]/g, ""); }

  // Words are carried folded, with hyphens for what the search took apart: compare letters and digits only.
  function bare(text) { return fold(text).replace(/[^0-9a-z\u00c0-\uffff]/g, ""); }

  var words = new Set(carried.slice(0, 600).split(/\s+/).map(bare).filter(Boolean));

  function wrap(node) {
    var text = node.data, pieces = [], at = 0, count = 0;
    for (var match of text.matchAll(/\S+/g)) {
      var chunk = match[0].replace(LEAD, ""), start = match.index + match[0].length - chunk.length;
      chunk = chunk.replace(TAIL, "");
      if (!chunk || !words.has(bare(chunk))) continue;
      var mark = document.createElement("mark");
      mark.setAttribute("data-found", "");
      mark.textContent = chunk;
      pieces.push(text.slice(at, start), mark);
      at = start + chunk.length;
      count++;
    }
    if (count) node.replaceWith.apply(node, pieces.concat(text.slice(at)));
    return count;
  }

  function markIn(place) {
    var walker = document.createTreeWalker(place, NodeFilter.SHOW_TEXT), nodes = [], count = 0;
    while (walker.nextNode()) if (!walker.currentNode.parentElement.closest(LEFT_ALONE)) nodes.push(walker.currentNode);
    nodes.forEach(function (node) { if (count < MOST) count += wrap(node); });
    return count;
  }

  var place = null;
  try { place = document.getElementById(decodeURIComponent(window.location.hash.slice(1))); } catch (odd) { /* no such place */ }
  var main = document.querySelector("main") || document.body;
  if (place && /^h[1-6]$/i.test(place.tagName)) place = place.closest("section") || place.parentElement;
  if (place && place.closest("details")) place.closest("details").open = true;
  if (!place || !markIn(place)) markIn(main);
  document.querySelectorAll(".other-names details").forEach(function (more) { if (more.querySelector("mark")) more.open = true; });
})();
