// Job sheet: building and mending of nodes. Text is only ever text; nothing here takes markup.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!document.querySelector("[data-job]")) { return; }
  const listed = new WeakMap();

  // A node: el("p", { class: "why", on: { click: f }, data: { field: "a" } }, "words", node, ...).
  function el(tag, given, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(given ?? {})) {
      if (value === null || value === undefined || value === false) { continue; }
      if (name === "on") {
        for (const [event, call] of Object.entries(value)) { node.addEventListener(event, call); }
      } else if (name === "data") {
        Object.assign(node.dataset, value);
      } else if (name === "hidden" || name === "disabled" || name === "checked" || name === "open") {
        node[name] = Boolean(value);
      } else {
        node.setAttribute(name, String(value));
      }
    }
    node.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== ""));
    return node;
  }

  const one = (selector, root) => (root ?? document).querySelector(selector);
  const all = (selector, root) => [...(root ?? document).querySelectorAll(selector)];

  function setText(node, text) {
    if (node && node.textContent !== text) { node.textContent = text; }
  }

  function setHidden(node, hidden) {
    if (node && node.hidden !== hidden) { node.hidden = hidden; }
  }

  // Children of `parent` as `items`: nodes of the same key stay, so that what is typed in and focused stays too.
  function sync(parent, items, keyOf, make, show) {
    const before = listed.get(parent) ?? new Map(), after = new Map();
    const focused = parent.contains(document.activeElement) ? document.activeElement : null;
    const keys = new Set(items.map(keyOf));
    for (const [key, node] of before) { if (!keys.has(key)) { node.remove(); } }
    let at = parent.firstElementChild;
    for (const item of items) {
      const key = keyOf(item);
      const node = before.get(key) ?? make(item);
      after.set(key, node);
      if (node === at) { at = at.nextElementSibling; } else { parent.insertBefore(node, at); }
      if (show) { show(node, item); }
    }
    listed.set(parent, after);
    if (focused && focused !== document.activeElement && parent.contains(focused)) { focused.focus({ preventScroll: true }); }
  }

  // Build the inside of `parent` anew, only when `stamp` differs from last time.
  function once(parent, stamp, build) {
    if (!parent || parent.dataset.stamp === stamp) { return false; }
    parent.dataset.stamp = stamp;
    parent.replaceChildren(...[build()].flat().filter(Boolean));
    return true;
  }

  const TOGETHER = 400;
  let saidAt = -TOGETHER;
  // Tell those who listen; what is said within a moment is told together, and the same words twice are told twice.
  function say(text) {
    const place = one("[data-said]"), now = performance.now();
    if (!place) { return; }
    const before = place.textContent;
    if (now - saidAt < TOGETHER) { place.textContent = `${before} ${text}`; } else { place.textContent = text === before ? `${text}\u00a0` : text; }
    saidAt = now;
  }

  const warning = (hazard, words) => el("p", { class: "warning" }, el("span", { "aria-hidden": "true" }, "⚠ "), el("b", null, hazard ? `${hazard}${words ? ": " : ""}` : ""), words);
  const verdict = (mark, words) => el("p", { class: "verdict", data: { mark } }, words);
  const link = (url, words) => el("a", { href: url }, words);
  const button = (words, click, kind) => el("button", { type: "button", class: kind ?? "job-button", on: { click } }, words);
  const count = (n, one_, many) => `${n} ${n === 1 ? one_ : many}`;
  const andList = (words) => (words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`);
  const percent = (share) => (share > 0 && share < 0.005 ? "under 1 %" : `${Math.round(100 * share)} %`).replace(" %", "\u00a0%");

  // A download made here; works from disk.
  function download(name, text, type) {
    const url = URL.createObjectURL(new Blob([text], { type }));
    const anchor = el("a", { href: url, download: name, hidden: true });
    document.body.append(anchor);
    anchor.click();
    anchor.remove();
    setTimeout(() => URL.revokeObjectURL(url), 60000);
  }

  J.dom = { el, one, all, setText, setHidden, sync, once, say, warning, verdict, link, button, count, andList, percent, download };
})(globalThis.Benchlore ??= {});
