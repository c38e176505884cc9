// Job sheet: the supply chart at today's mains, readings of safety and sound, each judged as soon as it is typed.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.pattern) { return; }
  const { el, one, once, sync, setText, setHidden } = J.dom;
  const figure = (key, unit) => J.fields.figure(key, unit);
  const volts = (value) => B.quantity.shown(value, "V", 3).replace("-", "\u2212");
  const plain = (value) => String(Number(value.toPrecision(10)));

  // The chart scaled to today's mains by the book's own sum: expected, least and most for each node, and which way a reading is off.
  function chart() {
    const family = J.known.family();
    if (!family) { return null; }
    const mains = figure("mains", "V");
    const sums = B.calculators?.["mains-scaling"];
    const nodes = family.supply.map((node) => ({ ...node, read: figure(`node/${J.file.part(node.node)}`, "V") }));
    const asked = sums ? B.evaluate("mains-scaling", {
      chart_mains: `${plain(family.mains.chart)} V`,
      mains: `${plain(mains ?? family.mains.chart)} V`,
      heater: family.mains.heater ?? "6.3 V",
      chart: nodes.map((node) => `${plain(node.volts)} V`).join("; "),
      spread: nodes.map((node) => `${plain(100 * node.spread)} %`).join("; "),
      found: nodes.map((node) => `${plain(node.read ?? node.volts)} V`).join("; "),
    }, {}) : null;
    const given = asked && !Object.keys(asked.problems).length ? asked.results : null;
    const own = (name, n, usual) => (given ? given[name].value[n] : usual);
    const rows = nodes.map((node, n) => {
      const spread = Math.abs(node.volts) * node.spread;
      const row = { ...node, expected: own("expected", n, node.volts), low: own("low", n, node.volts - spread), high: own("high", n, node.volts + spread) };
      return { ...row, state: stateOf(row) };
    });
    return { rows, mains, family, given, problem: asked ? asked.problems.mains ?? "" : "", scaled: Boolean(given) && mains !== null };
  }

  // Weak and strong count from zero, so that a bias supply that is not negative enough is low.
  function stateOf({ read, low, high, volts: own }) {
    if (read === null) { return ""; }
    if (read >= low && read <= high) { return "right"; }
    return (own < 0 ? read > high : read < low) ? "low" : "high";
  }

  function nodeRow(node) {
    return el("li", { class: "job-node" },
      el("span", { class: "job-node-words" }, el("span", { class: "node" }, node.node), ` ${node.title}`, el("span", { class: "under" }, node.probe)),
      el("span", { class: "job-node-expect" }),
      J.fields.make(`node/${J.file.part(node.node)}`, `Node ${node.node}, ${node.title}, volts`, { quiet: true, unit: "V", mode: "decimal", least: -2000, most: 3000, placeholder: "V" }),
      el("span", { class: "job-node-state", role: "status" }));
  }

  const STATES = { low: "▼ low", high: "▲ high", right: "✓ right", "": "" };

  function showNode(node, row) {
    const expect = one(".job-node-expect", node);
    setText(expect, `${volts(Math.min(row.low, row.high))} to ${volts(Math.max(row.low, row.high))}`);
    const place = one(".job-node-state", node), off = row.read !== null ? Math.round(100 * (row.read / row.expected - 1)) : 0;
    setText(place, row.state && row.state !== "right" ? `${STATES[row.state]} ${off > 0 ? "+" : "\u2212"}${Math.abs(off)}\u00a0%` : STATES[row.state]);
    place.dataset.state = row.state;
  }

  function verdicts(place, told) {
    sync(place, told, ({ words }) => words, ({ mark, words, sign }) => {
      const known = sign && J.known.symptoms.has(sign);
      return el("div", { class: "job-verdict" }, J.dom.verdict(mark, words),
        known ? J.dom.button(`Note as a sign: ${J.known.symptoms.get(sign).title}`, (event) => { J.signs.add(sign); event.currentTarget.hidden = true; }, "job-button") : null);
    });
  }

  function showSupply() {
    const now = chart();
    const said = one("[data-supply-said]");
    if (!now) {
      setText(said, "No chart: the family is not in the book. Write the nodes down all the same.");
      once(one("[data-supply]"), "none", () => J.fields.make("node-notes", "Nodes and their volts", { placeholder: "A 405 V, B 390 V" }));
      sync(one("[data-supply-verdict]"), [], () => "", () => null);
      return;
    }
    setText(said, sayings(now));
    once(one("[data-supply]"), `s${now.family.id}`, () => [el("p", { class: "job-node job-node-head", "aria-hidden": "true" }, el("span", null, "Node"), el("span", null, "Expected"), el("span", null, "Measured")), el("ul", { class: "job-nodes" }, now.rows.map((row) => { const node = nodeRow(row); node.dataset.node = row.node; return node; }))]);
    for (const row of now.rows) { showNode(one(`[data-node="${CSS.escape(row.node)}"]`), row); }
    verdicts(one("[data-supply-verdict]"), [...mainsVerdict(now), ...J.pattern.supply(now.rows)]);
    setText(one("[data-live-words]"), `Readings are taken live: up to ${volts(Math.max(...now.rows.map((row) => row.high)))} on plates and capacitors. Clip on cold, one hand, then hands out.`);
  }

  function sayings(now) {
    const chartWords = `The chart was taken at ${now.family.mains.chartWords} mains`;
    if (now.problem) { return now.problem; }
    if (!B.calculators?.["mains-scaling"]) { return `${chartWords}; this book has no sum to scale it.`; }
    return now.scaled ? `${chartWords} and is scaled to the ${volts(now.mains)} of today.` : `${chartWords}. Type today’s mains and it is scaled.`;
  }

  function mainsVerdict(now) {
    const said = now.scaled ? now.given.factor.verdict : null;
    return said && said.mark !== "good" ? [{ mark: said.mark, words: `Mains ${now.given.factor.text} of the chart’s: ${said.words}` }] : [];
  }

  function showNotes() {
    const family = J.known.family();
    once(one("[data-test-notes]"), `n${family?.id}`, () => (family?.notes.length ? el("details", { class: "job-how" }, el("summary", null, "Notes for testing it"), el("ul", null, family.notes.map((words) => el("li", null, words)))) : []));
  }

  // ---- noise and power
  function readings() {
    const family = J.known.family(), told = [];
    const noise = figure("noise", "mV");
    if (noise !== null && family?.noise) {
      const [usual, words] = family.noise;
      told.push(noise > 2 * usual ? { mark: "mind", words: `Noise is ${(noise / usual).toFixed(1)} times the ${words} usual here: hum not yet found, or lead dress.` } : { mark: "good", words: `Noise is near the ${words} usual here.` });
    }
    const power = powerNow();
    if (power) { told.push(power); }
    return told;
  }

  // Power at clipping by the book's own sum, against what the family should give.
  function powerNow() {
    const family = J.known.family(), at = J.record.get("clip-volts"), load = J.record.get("clip-load") || family?.output.load;
    if (figure("clip-volts", "V") === null || !load || !B.calculators?.["output-power"]) { return null; }
    const texts = { reading: "rms", volts: at, load };
    if (family) { texts.clean_power = `${plain(family.output.power)} W`; }
    const asked = B.evaluate("output-power", texts, {});
    const result = asked.results.power;
    if (!result) { return { mark: "mind", words: Object.values(asked.problems)[0] }; }
    return family && result.verdict ? { mark: result.verdict.mark, words: `Power ${result.text}: ${result.verdict.words}`, text: result.text } : { mark: "note", words: `Power ${result.text}.`, text: result.text };
  }

  J.record.onShow(() => {
    showSupply();
    showNotes();
    verdicts(one("[data-readings-verdict]"), readings());
    const gate = one("[data-measure-gate]");
    const open = J.safe.open().length > 0;
    setHidden(gate, !open);
    gate.dataset.mark = "stop";
    setText(gate, "Making safe is not done. Clips go on cold, after its steps are ticked or left out with a reason.");
  });

  J.measured = { chart, powerNow, verdicts, volts };
})(globalThis.Benchlore ??= {});
