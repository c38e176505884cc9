// Job sheet: idle dissipation of each output tube, worked out by the book's own calculators and judged by their words.
// There are two places for it: as it came, and after the work.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.measured) { return; }
  const { el, all, one, once, setText } = J.dom;
  const WAYS = {
    "idle-dissipation": "each tube’s own cathode resistor",
    current: "a current read directly (bias probe)",
    "idle-shared-cathode": "one shared cathode resistor",
    "idle-transformer-drop": "the drop across each half of the output transformer",
  };
  const SUM_OF = { current: "idle-dissipation" };
  // Inputs asked for by each way: name, whether it is the amp's own constant (then the book's figure stands until another is typed).
  const ASKS = {
    "idle-dissipation": [["plate_volts"], ["sense_volts"], ["sense_resistor", true], ["screen_current", true]],
    current: [["plate_volts"], ["current"], ["cathode_volts", true], ["screen_current", true]],
    "idle-shared-cathode": [["plate_volts"], ["cathode_volts"], ["cathode_resistor", true], ["screen_current", true]],
    "idle-transformer-drop": [["plate_volts"], ["first_ohms"], ["first_drop"], ["second_ohms"], ["second_drop"], ["cathode_volts", true]],
  };

  const keyOf = (when, seat, name) => `idle/${when}/${J.file.part(seat)}/${name.replaceAll("_", "-")}`;
  const sumOf = (way) => SUM_OF[way] ?? way;
  // Ways that the book has a sum for and that fit this output stage.
  const fits = (way, idle) => !idle || !((way === "idle-shared-cathode" && idle.arrangement !== "cathode") || (way === "idle-transformer-drop" && idle.tubes < 2));
  const waysOf = (family) => Object.keys(WAYS).filter((way) => J.book.idleSums.includes(sumOf(way)) && fits(way, family?.idle));

  function wayOf(family) {
    const typed = J.record.get("idle-by"), ways = waysOf(family);
    if (ways.includes(typed)) { return typed; }
    const usual = family?.idle.typed.sense_resistor ? "idle-dissipation" : family?.idle.arrangement === "cathode" ? "idle-shared-cathode" : "idle-dissipation";
    return ways.includes(usual) ? usual : ways[0] ?? "";
  }

  const each = (way) => way === "idle-dissipation" || way === "current";
  const seatsOf = (family, way) => (each(way) ? family?.idle.positions ?? ["tube 1", "tube 2"] : ["all"]);
  const inputOf = (sum, name) => B.calculators[sum].inputs.find((input) => input.name === name);

  // Fields that the sheet asks for and turns into the sum's own.
  const OWN = { current: { label: "Cathode current", unit: "mA", usual: "" }, cathode_volts: { label: "Cathode volts to chassis", unit: "V", usual: "0 V" } };

  function asksOf(way) {
    return ASKS[way].map(([name, constant]) => (way === "current" && Object.hasOwn(OWN, name)
      ? { name, constant, ...OWN[name] }
      : { name, constant, ...(({ label, unit, default: usual }) => ({ label, unit, usual }))(inputOf(sumOf(way), name)) }));
  }

  const plain = (value) => Number(value.toPrecision(10));

  // A current and the cathode's volts as the sum takes them: volts across a resistor. What cannot be read is left for the sum to refuse.
  function asResistor(current, cathode) {
    try {
      const amperes = B.quantity.readInput(current, "mA").value, volts = B.quantity.readInput(cathode, "V").value;
      return volts >= 0.5 && amperes > 0 ? { sense_volts: `${plain(volts)} V`, sense_resistor: `${plain(volts / amperes)} ohm` } : { sense_volts: `${plain(1000 * amperes)} mV`, sense_resistor: "1 ohm" };
    } catch {
      return { sense_volts: current, sense_resistor: "1 ohm" };
    }
  }

  // What is put into the sum for one seat, or null while something measured is missing.
  function given(family, when, seat, way) {
    const sum = sumOf(way), texts = {};
    for (const { name, constant, usual } of asksOf(way)) {
      const typed = J.record.get(keyOf(when, seat, name)).trim();
      const own = constant ? family?.idle.typed[name] ?? usual : "";
      if (!typed && !own) { return null; }
      texts[name] = typed || own;
    }
    if (way === "current") {
      const { current, cathode_volts: cathode, ...others } = texts;
      Object.keys(texts).forEach((name) => delete texts[name]);
      Object.assign(texts, others, asResistor(current, cathode));
    }
    const tubes = inputOf(sum, "tube");
    if (family && tubes?.options.some((option) => option.value === family.idle.tube)) { texts.tube = family.idle.tube; } else if (J.record.get("idle-tube")) { texts.tube = J.record.get("idle-tube"); }
    if (inputOf(sum, "tubes") && family) { texts.tubes = way === "idle-transformer-drop" ? String(Math.max(1, Math.floor(family.idle.tubes / 2))) : String(family.idle.tubes); }
    return texts;
  }

  // Every seat judged: [{seat, share, current, mark, words, problem}].
  function results(when) {
    const family = J.known.family(), way = wayOf(family);
    if (!way) { return []; }
    return seatsOf(family, way).map((seat) => {
      const texts = given(family, when, seat, way);
      if (!texts) { return { seat, share: null, current: null, problem: "" }; }
      const asked = B.evaluate(sumOf(way), texts, {});
      const problem = Object.entries(asked.problems)[0];
      if (problem) { return { seat, share: null, current: null, problem: problem[1] }; }
      const { share } = asked.results;
      return { seat, way, share: share.value, text: share.text, unsure: share.uncertaintyText, mark: share.verdict?.mark ?? "note", words: aimed(family, share), current: currentOf(asked, way), mismatch: asked.results.mismatch ?? null, problem: "" };
    });
  }

  // The calculator's verdict, and where the reading lies against the family's own aim.
  function aimed(family, share) {
    const words = share.verdict?.words ?? "";
    if (!family || share.value > 1) { return words; }
    const [low, high] = family.idle.aim;
    const aim = share.value > high + 1e-9 ? "Hotter than" : share.value < low - 1e-9 ? "Cooler than" : "Within";
    return `${words} ${aim} the aim here, ${family.idle.aimWords}.`;
  }

  const currentOf = (asked, way) => (each(way) ? asked.results.current?.value ?? null : null);

  function build(when, family, way) {
    const rows = seatsOf(family, way).map((seat) => el("li", { class: "job-idle", data: { seat } },
      el("span", { class: "job-idle-seat" }, el("b", null, seat === "all" ? "All output tubes" : seat), family ? ` ${family.idle.title}` : ""),
      el("div", { class: "job-idle-fields" }, asksOf(way).map(({ name, constant, label, unit, usual }) => J.fields.make(keyOf(when, seat, name), label, {
        unit, mode: "decimal", placeholder: constant ? `book: ${family?.idle.typed[name] ?? usual}` : "",
      }))),
      el("p", { class: "verdict", role: "status" })));
    return el("ul", { class: "job-idles" }, rows);
  }

  function head(when, family, way) {
    if (when !== "before") { return []; }
    const select = el("select", { id: "f-idle-by", data: { field: "idle-by" } }, waysOf(family).map((one_) => el("option", { value: one_ }, WAYS[one_])));
    select.value = way;
    return [
      el("p", { class: "field" }, el("label", { for: "f-idle-by" }, "Measured by"), select),
      ...(family ? [el("details", { class: "job-how" }, el("summary", null, "How to measure it on this chassis"), el("p", null, family.idle.how), family.idle.note ? el("p", null, family.idle.note) : null),
        el("p", { class: "field-help" }, `Aim ${family.idle.aimWords} of the limit of ${family.idle.limit}.`)] : [tubeChoice(way)]),
    ];
  }

  function tubeChoice(way) {
    const options = inputOf(sumOf(way), "tube")?.options ?? [];
    const select = el("select", { id: "f-idle-tube", data: { field: "idle-tube" } }, options.map((option) => el("option", { value: option.value }, option.label)));
    select.value = J.record.get("idle-tube") || inputOf(sumOf(way), "tube")?.default || "";
    return el("p", { class: "field" }, el("label", { for: "f-idle-tube" }, "Output tube"), select);
  }

  function show(place) {
    const when = place.dataset.idle, family = J.known.family(), way = wayOf(family);
    if (!way) {
      once(place, "none", () => el("p", { class: "field-help" }, "This book has no idle calculator."));
      return;
    }
    once(place, `${family?.id}|${way}`, () => [...head(when, family, way), build(when, family, way), el("div", { class: "job-verdicts", data: { shared: "" } })]);
    const judged = results(when);
    for (const one_ of judged) {
      const verdict = one(`[data-seat="${CSS.escape(one_.seat)}"] .verdict`, place);
      setText(verdict, one_.problem || (one_.share === null ? "" : `Idle share ${one_.text}${one_.unsure ? ` ${one_.unsure}` : ""}. ${one_.words}`));
      verdict.dataset.mark = one_.problem ? "mind" : one_.mark ?? "";
    }
    const told = J.pattern.currents(judged.map(({ seat, current }) => ({ at: seat, current })), usualPlate(family));
    const mismatch = judged[0]?.mismatch;
    if (mismatch?.verdict) { told.push({ mark: mismatch.verdict.mark, words: `The two sides differ by ${mismatch.text}: ${mismatch.verdict.words}` }); }
    J.measured.verdicts(one("[data-shared]", place), told);
  }

  // Plate current of one tube as the family's entry has it, in amperes.
  function usualPlate(family) {
    if (!family || family.idle.current === null) { return null; }
    const screen = family.idle.typed.screen_current;
    return family.idle.current - (screen ? B.quantity.readInput(screen, "mA").value : 0);
  }

  J.record.onShow(() => { for (const place of all("[data-idle]")) { show(place); } });
  J.idle = { results };
})(globalThis.Benchlore ??= {});
