// Job sheet: the closing-up list for this family and for what was touched, and whether the amp may be handed over.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.work) { return; }
  const { el, one, all, sync, setText, setHidden, link, count } = J.dom;
  const ORDERS = { crosswise: "cross-wise", starwise: "star-wise", "ends last": "the ends last" };

  const item = (id, words, more) => ({ id, words, short: words, vital: false, note: "", reading: null, ...more });
  const ticked = ({ id }) => J.record.has(`close/${id}`, "done");
  const UNITS = { "earth-ohms": "ohm", insulation: "Mohm" };
  // A safety line with a reading is open until both are there.
  const isOpen = (line) => !ticked(line) || (line.reading !== null && J.fields.figure(line.reading, UNITS[line.reading]) === null);

  function safety(family) {
    const mains = family?.mains;
    return [
      item("earth", mains ? `Protective earth tight and proved: ${mains.earth}` : "Protective earth tight and proved", { vital: true, short: "protective earth", reading: "earth-ohms" }),
      item("insulation", "Mains insulation read, within what your local code asks", { vital: true, short: "mains insulation", reading: "insulation" }),
      item("fuse", mains ? `Mains fuse is ${mains.fuse}` : "Mains fuse is of the value and kind on the label", { vital: true, short: "mains fuse" }),
      ...(mains?.fuses ?? []).map((words, n) => item(`fuse-${n + 1}`, `Other fuse is right: ${words}`, { vital: true, short: words })),
      item("cord", "Mains cord, plug, grip and inlet are sound; the voltage selector fits the local mains", { vital: true, short: "mains cord and selector" }),
    ];
  }

  function hardware(family) {
    return (family?.hardware ?? []).map((h) => item(`hardware-${h.key}`, `${h.what}: ${h.count} × ${h.size || "fastener"}, ${h.where}`, {
      vital: h.earth, short: h.what, note: [h.tight, ORDERS[h.order] && !h.tight.includes("cross") ? ORDERS[h.order] : "", h.drive].filter(Boolean).join("; "),
    }));
  }

  const dress = (family) => (family?.dress ?? []).map((pair) => item(`dress-${pair.key}`, `${pair.keep} away from ${pair.from}${pair.apart ? `, ${pair.apart}` : ""}`, { note: pair.secure }));

  // How this family's speaker is fixed, and which load its taps want.
  function speakerNote(key) {
    const family = J.known.family();
    if (key === "speaker-2" && family) { return `taps: ${family.output.taps.map(([label, load]) => (label.includes("ohm") ? label : `${label} ${load}`)).join("; ")}`; }
    const speaker = family?.speaker;
    return key === "speaker-3" && speaker ? `${speaker.count} × ${speaker.ohms}: ${speaker.fixed}` : "";
  }

  function byTouch() {
    return [...J.work.touched().keys()].map((what) => {
      const heading = J.book.touched.find(([key]) => key === what)[1];
      return { id: `touched-${what.replaceAll(" ", "-")}`, heading, items: J.book.closing[what].map(([key, words, from]) => item(key, words, { note: from ? `from: ${J.book.procedures[from]}` : speakerNote(key) })) };
    });
  }

  const verify = () => J.work.foundIds().filter(J.work.mended).flatMap((id) => J.known.fault(id).verify.map((words, n) => item(`verify-${id}-${n + 1}`, words, { note: `mended: ${J.known.fault(id).title}` })));

  // Every group with something in it.
  function groups() {
    const family = J.known.family();
    return [
      { id: "safety", heading: "Safety", items: safety(family) },
      { id: "verify", heading: "The mends hold", items: verify() },
      ...byTouch(),
      { id: "hardware", heading: "Every fastener", items: hardware(family) },
      { id: "dress", heading: "Wires apart", items: dress(family) },
      { id: "closing", heading: "Closing", items: (family?.closing ?? []).map(([does, , warning, tears], n) => item(`closing-${n + 1}`, does, { note: [tears && `tears: ${tears}`, warning].filter(Boolean).join("; ") })) },
      { id: "always", heading: "Before any amp goes", items: J.book.always.map(([key, words]) => item(`always-${key}`, words)) },
    ].filter(({ items }) => items.length);
  }

  function line(one_) {
    const node = el("li", { class: `tick${one_.vital ? " tick-vital" : ""}`, id: `close-${one_.id}` },
      J.fields.tick(`close/${one_.id}`, "done", one_.words, one_.vital ? [" ", el("span", { class: "vital" }, "safety")] : null, one_.note ? el("span", { class: "under" }, one_.note) : null));
    if (one_.reading) { node.append(el("p", { class: "job-reading", data: { reading: one_.reading } })); }
    return node;
  }

  function showReading(node, one_) {
    const place = one(".job-reading", node);
    if (!place) { return; }
    const value = J.fields.figure(one_.reading, UNITS[one_.reading]);
    const wanted = value === null ? "" : `read: ${B.quantity.shown(value, UNITS[one_.reading], 3)}`;
    if (place.dataset.read === wanted && place.childNodes.length) { return; }
    place.dataset.read = wanted;
    place.replaceChildren(...(wanted ? [wanted] : ["no reading yet: ", link(`#f-${one_.reading}`, "write it down")]));
  }

  function showLists() {
    sync(one("[data-closing-lists]"), groups(), ({ id }) => id, ({ id, heading }) => el("section", { class: "ticks", "aria-labelledby": `close-h-${id}` }, el("h3", { id: `close-h-${id}` }, heading, el("span", { class: "ticks-note", data: { left: "" } })), el("ul", null)),
      (node, { items }) => {
        sync(one("ul", node), items, (one_) => `${one_.id}|${one_.words}`, line, showReading);
        const left = items.filter(isOpen).length;
        setText(one("[data-left]", node), left ? ` ${left} open` : " done");
      });
  }

  // What keeps the amp here, and what else is open.
  function readiness() {
    const items = groups().flatMap((group) => group.items);
    const vital = items.filter((one_) => one_.vital && isOpen(one_));
    const safe = J.safe.open().length;
    return { vital, safe, rest: items.filter((one_) => !one_.vital && isOpen(one_)).length, ready: vital.length === 0 && safe === 0 };
  }

  function showReady(place, now) {
    const stamp = `${now.safe}|${now.vital.map(({ id }) => id)}|${now.rest}`;
    place.dataset.mark = now.ready ? (now.rest ? "mind" : "good") : "stop";
    J.dom.once(place, stamp, () => {
      const open = now.vital.length + (now.safe ? 1 : 0);
      if (open) {
        return [el("p", null, el("b", null, "Not ready to hand over. "), `${count(open, "safety item is", "safety items are")} open:`),
          el("ul", null, now.safe ? el("li", null, link("#safe-heading", `making safe, ${count(now.safe, "step", "steps")}`)) : null, now.vital.map((one_) => el("li", null, link(`#close-${one_.id}`, one_.short))))];
      }
      return el("p", null, el("b", null, "Ready to hand over"), now.rest ? ` as far as safety goes; ${count(now.rest, "line", "lines")} of the list ${now.rest === 1 ? "is" : "are"} still open.` : ": every line is done.");
    });
  }

  J.closing = { groups, readiness, isOpen };
  J.record.onShow(() => {
    showLists();
    const now = readiness();
    for (const place of all("[data-ready], [data-ready-again]")) { showReady(place, now); }
    const touched = J.work.touched();
    setHidden(one("[data-idle-again]"), !["bias", "tubes", "transformer", "mains wiring", "filter capacitors"].some((what) => touched.has(what)));
  });
})(globalThis.Benchlore ??= {});
