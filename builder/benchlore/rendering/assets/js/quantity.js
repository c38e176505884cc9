// Quantities as the trade writes them, read by the grammar that the builder exported (grammar.js): the same patterns,
// units and steps as quantity.py and markings.py. Nothing is guessed: what could mean two things is asked about.
(function (B) {
  "use strict";
  const G = B.grammar;
  const whole = (pattern) => new RegExp(`^(?:${pattern})$`);
  const P = Object.fromEntries(Object.entries(G.patterns).map(([name, pattern]) => [name, whole(pattern)]));
  const STEADY = 12;
  const own = (table, key) => (table && Object.hasOwn(table, key) ? table[key] : undefined);

  class QuantityProblem extends Error {
    constructor(message, hint) {
      super(message);
      this.hint = hint;
    }
    // One sentence for the place beside the field.
    get sentence() {
      const text = this.message.charAt(0).toUpperCase() + this.message.slice(1);
      return `${text}; ${this.hint}${/[?.]$/.test(this.hint) ? "" : "."}`;
    }
  }

  const refuse = (message, hint) => { throw new QuantityProblem(message, hint); };
  const quoted = (text) => `"${text.replace(/(?! )[\p{C}\p{Z}]/gu, "?")}"`;

  // A unit as [name, dimension, power, scale, offset, symbol].
  const unitOf = (name) => [name, ...G.units[name]];
  const dimensionOf = (name) => G.units[name][0];
  const baseOf = (name) => G.dimensions[dimensionOf(name)][1];

  function fold(text) {
    if (text.length > G.longest) { refuse(`this is ${text.length} characters long`, `a quantity has at most ${G.longest}`); }
    let folded = text.replace(/^ +| +$/g, "");
    for (const [sign, plain] of Object.entries(G.folded)) { folded = folded.split(sign).join(plain); }
    if (!folded) { refuse("nothing is written here", "write a number and its unit"); }
    const odd = /[^ -~]/u.exec(folded);
    if (odd) {
      const code = odd[0].codePointAt(0).toString(16).toUpperCase().padStart(4, "0");
      refuse(`${quoted(text)} holds a sign that no quantity has (U+${code})`, "use plain digits and unit letters");
    }
    return folded.replace(/^ +| +$/g, "");
  }

  // A decimal comma made a point; one that could part thousands is asked about.
  function withoutComma(text) {
    if (!text.includes(",")) { return text; }
    const found = P.comma.exec(text);
    if (!found) { refuse(`${quoted(text)} has more than one comma or point`, "write it without marks between thousands"); }
    const [, sign, before, decimals, rest] = found;
    if (decimals.length === 3 && before.length >= 1 && before.length <= 3 && !before.startsWith("0")) {
      refuse(`${quoted(text)} could be ${sign}${before}${decimals}${rest} or ${sign}${before}.${decimals}${rest}`,
        "which is meant? Write it without the comma, or with a point");
    }
    return `${sign}${before || "0"}.${decimals}${rest}`;
  }

  const listed = (dimension) => G.dimensions[dimension][2].filter((name) => name !== "1").join(", ");

  function unitMeant(word, text, dimension, ownUnit) {
    if (word === undefined) { return unitOf(ownUnit); }
    const spelled = word.replace(/^ +| +$/g, "");
    const name = own(G.aliases, spelled) ?? spelled;
    const known = Object.hasOwn(G.units, name) && name !== "1" ? unitOf(name) : null;
    if (known && known[1] === dimension) { return known; }
    const bare = own(G.bare[dimension], spelled);
    if (bare) { return unitOf(bare); }
    if (known && !(dimension === "resistance" && spelled === "m")) { refuseDimension(text, known, dimension, ownUnit); }
    return refuseUnit(text, spelled, dimension);
  }

  function refuseDimension(text, known, dimension, ownUnit) {
    const base = G.dimensions[dimension][1];
    const wanted = base === "1" && ownUnit === "1" ? "a plain number" : `${G.dimensions[dimension][0]} (${ownUnit})`;
    refuse(`${quoted(text)} is ${G.dimensions[known[1]][0]} (${known[0]}), but ${wanted} is wanted here`,
      ownUnit === "1" ? "leave the unit out" : `write it in ${listed(dimension)}`);
  }

  function refuseUnit(text, word, dimension) {
    if (dimension === "resistance" && word === "m") {
      refuse(`${quoted(text)} could be M (millions of ohms) or mohm (thousandths)`, "which is meant? Write M or mohm");
    }
    const near = G.dimensions[dimension][2].find((name) => name.toLowerCase() === word.toLowerCase());
    refuse(`${quoted(text)}: the unit ${quoted(word)} is not known`, near ? `did you mean ${near}?` : `units known here: ${listed(dimension)}`);
  }

  function si(number, unit, text) {
    const value = Number(`${number}e${unit[2]}`) * unit[3] + unit[4];
    if (!(Math.abs(value) <= G.largest)) { refuse(`${quoted(text)} is too large`, "no bench quantity is that large; check the unit"); }
    return value;
  }

  function reading(number, unit, text) {
    const decimals = (number.split(".")[1] || "").length;
    return { value: si(number, unit, text), offset: unit[4], step: Number(`1e${unit[2] - decimals}`) * unit[3] };
  }

  function fraction(found, unit, text) {
    const [over, under, ones] = [Number(found[2]), Number(found[3]), Number(found[1] || "0")];
    if (under === 0) { refuse(`${quoted(text)} divides by zero`, "write a fraction such as 1/4 in"); }
    return { value: si("1", unit, text) * ((ones * under + over) / under), offset: unit[4], step: 0 };
  }

  function marked(found, dimension) {
    const name = own(G.marks[dimension], found[3]);
    if (!name) { return null; }
    const unit = found[5];
    if (unit !== undefined && (own(G.aliases, unit) ?? unit) !== baseOf(name)) { return null; }
    return [`${found[1]}${found[2] || "0"}.${found[4]}`, unitOf(name)];
  }

  // What was typed into a field whose own unit is `unit`: {value in SI, offset, step: one count of its last digit}.
  function readInput(text, unit) {
    const folded = withoutComma(fold(text).replace(/ +/g, " "));
    const dimension = dimensionOf(unit);
    if (folded.includes("..")) { refuse(`${quoted(text)} is a range`, "give one value"); }
    let found = P.fraction.exec(folded);
    if (found) { return fraction(found, unitMeant(found[4], text, dimension, unit), text); }
    found = dimension === "ratio" ? P.ratio.exec(folded) : null;
    if (found) { return reading(found[1], unitOf("1"), text); }
    found = P.marked.exec(folded);
    const code = found && marked(found, dimension);
    if (code) { return reading(code[0], code[1], text); }
    found = P.plain.exec(folded);
    if (found) { return reading(found[1], unitMeant(found[2], text, dimension, unit), text); }
    return refuse(`${quoted(text)} is not a quantity`, `write it as ${unit === "1" ? "12" : `12 ${unit}`}`);
  }

  // What stands in an entry, where the unit is written out and a range is allowed: {low, high} in SI. As parse_quantity.
  function readEntry(text, dimension) {
    const folded = fold(text);
    if (folded.includes(",")) { refuse(`${quoted(text)} holds a comma`, "write the decimals after a point, and thousands without a mark"); }
    const one = (value) => ({ low: value, high: value });
    let found = P.range.exec(folded);
    if (found) {
      const unit = entryUnit(found[3], text, dimension);
      const [low, high] = [si(found[1], unit, text), si(found[2], unit, text)];
      if (low > high) { refuse(`${quoted(text)} runs from high to low`, "write the lower end first"); }
      return { low, high };
    }
    found = P.fraction.exec(folded);
    if (found) { return one(fraction(found, entryUnit(found[4], text, dimension), text).value); }
    found = ["ratio", "number", "any"].includes(dimension) ? P.ratio.exec(folded) : null;
    if (found) { return one(si(found[1], unitOf("1"), text)); }
    found = P.marked.exec(folded);
    const code = found && marked(found, dimension);
    if (code) { return one(si(code[0], code[1], text)); }
    found = P.plain.exec(folded);
    if (found) { return one(si(found[1], entryUnit(found[2], text, dimension), text)); }
    return refuse(`${quoted(text)} is not a quantity`, `write it as ${entryExample(dimension)}`);
  }

  const entryExample = (dimension) =>
    own({ number: "12", ratio: "95 %", any: "12 V", resistance: "4k7 or 100 ohm" }, dimension) ?? `12 ${G.dimensions[dimension][1]}`;

  function entryUnit(word, text, dimension) {
    if (word === undefined) {
      if (dimension === "number") { return unitOf("1"); }
      refuse(`${quoted(text)} has no unit`, `write a number and a unit, such as ${entryExample(dimension)}`);
    }
    if (dimension === "any") {
      const spelled = word.replace(/^ +| +$/g, "");
      const name = own(G.aliases, spelled) ?? spelled;
      if (Object.hasOwn(G.units, name) && name !== "1") { return unitOf(name); }
      const bare = own(G.bare[dimension], spelled);
      if (bare) { return unitOf(bare); }
      const near = Object.keys(G.units).find((known) => known.toLowerCase() === spelled.toLowerCase());
      refuse(`${quoted(text)}: the unit ${quoted(spelled)} is not known`, near ? `did you mean ${near}?` : "units known here: V, mA, ohm, W, uF, Hz, mm and their like");
    }
    return unitMeant(word, text, dimension, G.dimensions[dimension][1]);
  }

  function inUnit(value, name) {
    const unit = unitOf(name);
    const shifted = (value - unit[4]) / unit[3];
    return unit[2] < 0 ? shifted * Number(`1e${-unit[2]}`) : shifted / Number(`1e${unit[2]}`);
  }

  // A number with so many significant figures, plainly written, halves away from zero, without idle zeros. Rounded to
  // twelve figures first, so that the last bit of a sum never decides a half.
  function rounded(value, digits) {
    if (value === 0 || !Number.isFinite(value)) { return "0"; }
    const [mantissa, exponent] = Math.abs(value).toExponential(STEADY - 1).split("e");
    const steady = mantissa.replace(".", "");
    const up = steady.charAt(digits) >= "5" ? 1n : 0n;
    const figures = String(BigInt(steady.slice(0, digits)) + up);
    const point = Number(exponent) + 1 + (figures.length - digits);
    const padded = point <= 0 ? "0".repeat(1 - point) + figures : figures.padEnd(point, "0");
    const at = Math.max(point, 1);
    const plain = at < padded.length ? `${padded.slice(0, at)}.${padded.slice(at)}`.replace(/\.?0+$/, "") : padded;
    return (value < 0 ? "-" : "") + plain;
  }

  function shown(value, name, digits) {
    const sign = G.units[name][4];
    const glue = sign === "" || sign === "\u00b0" || sign.startsWith("/") ? "" : " ";
    return `${rounded(inUnit(value, name), digits)}${glue}${sign}`;
  }

  // The unit with the prefix that keeps the number between 1 and 1000.
  function fitting(value, dimension, digits) {
    const [, base, names] = G.dimensions[dimension];
    const plain = names.map(unitOf).filter((u) => u[3] === 1 && u[4] === 0 && u[0].endsWith(base) && u[2] % 3 === 0);
    if (dimension === "ratio" || dimension === "number" || plain.length === 0) { return base; }
    const size = Math.abs(value) * (1 + 0.5 * Number(`1e${-digits}`));
    const fit = size ? plain.filter((u) => size >= Number(`1e${u[2]}`)) : [];
    const best = fit.length
      ? fit.reduce((a, b) => (b[2] > a[2] ? b : a))
      : plain.reduce((a, b) => (size ? b[2] < a[2] : Math.abs(b[2]) < Math.abs(a[2])) ? b : a);
    return best[0];
  }

  const engineering = (value, dimension, digits) => shown(value, fitting(value, dimension, digits), digits);

  // ---- markings on parts (IEC 60062)
  const M = G.markings;
  const MP = Object.fromEntries(Object.entries(M.patterns).map(([name, pattern]) => [name, whole(pattern)]));
  const toleranceOf = (letter) => own(M.tolerances, letter) ?? M.unmarked;

  function readLetters(text, unit) {
    const found = MP[unit].exec(text.trim().replace(/[\u00b5\u03bc]/g, "u"));
    if (!found || !(found[1] || found[3])) {
      refuse(`${quoted(text.slice(0, 40))} is not a letter code`, `write it as it stands on the part, such as ${unit === "ohm" ? "4K7, R47 or 470RK" : "4n7, n47 or 100nK"}`);
    }
    const letter = unit === "ohm" ? found[2].toUpperCase() : found[2];
    const power = M.multipliers[unit].find(([one]) => one === letter)[1];
    return [Number(`${found[1] || "0"}.${found[3] || "0"}e${power}`), toleranceOf(found[4])];
  }

  function readDigits(text, unit) {
    const base = unit === "F" ? -12 : 0;
    let found = MP.point.exec(text.trim());
    if (found) { return [Number(`${found[1] || "0"}.${found[2]}e${base}`), toleranceOf(found[3])]; }
    found = MP.digits.exec(text.trim());
    if (!found) { refuse(`${quoted(text.slice(0, 40))} is not a digit code`, "write three or four digits as on the part, such as 104 or 4702"); }
    const power = (unit === "F" ? own(M.small, found[2]) : undefined) ?? Number(found[2]);
    return [Number(`${found[1]}e${power + base}`), toleranceOf(found[3])];
  }

  function letters(value, unit) {
    if (value <= 0) { return unit === "ohm" ? "0R" : "0p"; }
    const table = M.multipliers[unit];
    const fitting = table.filter(([, power]) => value * (1 + 5e-4) >= Number(`1e${power}`));
    const [letter, power] = fitting.length ? fitting[fitting.length - 1] : table[0];
    const [before, part = ""] = rounded(power >= 0 ? value / Number(`1e${power}`) : value * Number(`1e${-power}`), 3).split(".");
    return `${before === "0" ? "" : before}${letter}${part}`;
  }

  function digits(value, unit) {
    const counted = rounded(unit === "F" ? value * 1e12 : value, 3);
    if (Number(counted) < 10) {
      const [before, part = "0"] = counted.split(".");
      return `${before === "0" ? "" : before}R${part}`;
    }
    const figures = counted.replace(".", "").replace(/0+$/, "");
    const length = figures.length <= 2 ? 2 : 3;
    const zeros = counted.split(".")[0].length - length;
    return zeros < 0 || zeros > 9 ? counted : figures.padEnd(length, "0") + zeros;
  }

  B.quantity = { QuantityProblem, refuse, readInput, readEntry, shown, engineering, fitting, rounded, inUnit, baseOf, dimensionOf, offsetOf: (name) => G.units[name][3], readLetters, readDigits, letters, digits };
})(globalThis.Benchlore ??= {});
