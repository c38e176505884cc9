// A sheet to draw on: what drawing/sheet.py and drawing/cases.py do, for the charts that the builder printed (charts.js).
(function (B) {
  "use strict";
  const Q = B.quantity;
  const SVG = "http://www.w3.org/2000/svg";
  const minus = (text) => text.replaceAll("-", "\u2212");
  const coordinate = (value) => String(Math.floor(value * 10 + 0.5) / 10);
  const points = (xs, ys) => xs.map((x, i) => `${coordinate(x)},${coordinate(ys[i])}`).join(" ");

  function element(tag, attributes, words) {
    const made = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(attributes)) { made.setAttribute(name, value); }
    if (words !== undefined) { made.textContent = words; }
    return made;
  }

  function add(s, tag, look, numbers, more, words) {
    const places = Object.fromEntries(Object.entries(numbers).map(([name, value]) => [name, coordinate(value)]));
    s.body.push(element(tag, { class: `d-${look}`, ...places, ...more }, words));
  }

  const host = {
    about(s, title, words) { Object.assign(s, { title, words }); },
    size(s, high) { s.high = high; },
    head(s, cells) { s.head = cells; },
    row(s, cells) { s.rows.push(cells); },
    line(s, look, x1, y1, x2, y2) { add(s, "line", look, { x1, y1, x2, y2 }); },
    rect(s, look, x, y, w, h) { add(s, "rect", look, { x, y, width: Math.max(w, 0), height: Math.max(h, 0) }); },
    circle(s, look, cx, cy, r) { add(s, "circle", look, { cx, cy, r }); },
    curve(s, look, xs, ys) { if (xs.length > 1) { add(s, "polyline", look, {}, { points: points(xs, ys) }); } },
    uprights(s, look, xs, tops, feet) {
      add(s, "path", look, {}, { d: xs.map((x, i) => `M${coordinate(x)},${coordinate(tops[i])}V${coordinate(feet[i])}`).join("") });
    },
    area(s, look, xs, ys) { if (xs.length > 2) { add(s, "polygon", look, {}, { points: points(xs, ys) }); } },
    text(s, look, where, x, y, words) { add(s, "text", look, { x, y }, { "text-anchor": where }, words); },
    said: (value, unit, digits) => minus(Q.shown(value, unit, digits)),
    bare: (value, unit, digits) => minus(Q.rounded(Q.inUnit(value, unit), digits)),
    count: (value) => String(Math.trunc(value)),
    floor: Math.floor,
    cos: Math.cos,
    sin: Math.sin,

    // one answer of a calculator: { id, texts, values }, without values where there is no answer
    answered: (o) => Object.keys(o.values).length > 0,
    one: (o, name) => (Array.isArray(o.values[name]) ? o.values[name][0] : o.values[name]),
    many: (o, name) => (Array.isArray(o.values[name]) ? [...o.values[name]] : [o.values[name]]),
    swept: (o, name, values, unit) => values.map((value) => {
      const texts = { ...o.texts, [name]: `${Q.rounded(value, 6)} ${unit}` };
      return { id: o.id, texts, values: B.evaluate(o.id, texts, {}).values };
    }),

    blank: () => ({ title: "", words: "", wide: 340, high: 340, body: [], head: [], rows: [] }),
    finished(s) {
      const root = element("svg", { class: "sheet-svg", viewBox: `0 0 ${coordinate(s.wide)} ${coordinate(s.high)}`, role: "img" });
      root.append(element("title", {}, s.title), element("desc", {}, s.words), ...s.body);
      return root;
    },
  };

  B.sheet = host;
})(globalThis.Benchlore);
