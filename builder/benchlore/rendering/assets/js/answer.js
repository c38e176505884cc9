// From what was typed to an answer in words: what forms.py, uncertainty.py, compiled.py and outcome.py do.
// Benchlore.evaluate(id, texts, tolerances) is pure: it reads no page and keeps nothing.
(function (B) {
  "use strict";
  const Q = B.quantity, R = B.reckon;
  const refuse = Q.refuse;
  const PERCENT = /^([0-9]{1,3}(?:\.[0-9]{1,6})?|\.[0-9]{1,6}) ?%$/;
  const DIGITS = /^([0-9]{1,3}(?:\.[0-9])?) ?(?:digits?|counts?)$/;
  const MOST_PARTS = 3, LONGEST_LIST = 2000, COVERAGE = 2;

  class BadTolerance extends Q.QuantityProblem {}

  // ---- tolerances
  function fixedPart(text, unit) {
    let read;
    try {
      read = Q.readInput(text, unit);
    } catch {
      refuse(`"${text.slice(0, 40)}" is no tolerance`, `write 5 %, 0.5 % + 2 digits, 1 ${unit} or exact`);
    }
    const value = read.value - read.offset;
    return value < 0 ? refuse("a tolerance is not below zero", "write its half-width without a sign") : value;
  }

  function halfWidth(text, unit, value, step) {
    const written = text.trim();
    if (written === "" || written === "exact") { return 0; }
    const parts = written.replace(/^\u00b1/, "").split("+").map((part) => part.trim().replaceAll(",", "."));
    if (parts.length > MOST_PARTS) { refuse(`a tolerance has at most ${MOST_PARTS} parts`, "write it as 0.5 % + 2 digits"); }
    let share = 0, digits = 0, fixed = 0;
    for (const part of parts) {
      const percent = PERCENT.exec(part), counts = DIGITS.exec(part);
      if (percent) { share += Number(percent[1]) / 100; } else if (counts) { digits += Number(counts[1]); } else { fixed += fixedPart(part, unit); }
    }
    return share * Math.abs(value) + digits * step + fixed;
  }

  // ---- inputs
  const itemsOf = (text) => text.slice(0, LONGEST_LIST).split(";").map((item) => item.trim());

  function measured(form, text, tolerance) {
    const read = Q.readInput(text, form.unit);
    if (form.least !== null && read.value < form.least) { refuse(`"${text}" is below the least that is taken here`, `${Q.shown(form.least, form.unit, 6)} or more`); }
    if (form.most !== null && read.value > form.most) { refuse(`"${text}" is above the most that is taken here`, `${Q.shown(form.most, form.unit, 6)} or less`); }
    if (form.kind === "count" && read.value !== Math.floor(read.value)) { refuse(`"${text}" is not a whole number`, "count in whole ones"); }
    try {
      return [read.value, halfWidth(tolerance, form.unit, read.value - read.offset, read.step)];
    } catch (error) {
      throw error instanceof Q.QuantityProblem ? new BadTolerance(error.message, error.hint) : error;
    }
  }

  function optionOf(form, text) {
    const word = text.trim().toLowerCase();
    const found = form.options.find((option) => option.value.toLowerCase() === word)
      ?? form.options.find((option) => option.others.some((other) => other.toLowerCase() === word));
    if (found) { return found; }
    const known = form.options.map((option) => option.value).sort();
    return refuse(`"${text.trim().slice(0, 40)}" is not one of the choices`, `known here: ${known.slice(0, 12).join(", ")}${known.length > 12 ? ", ..." : ""}`);
  }

  function number(form, text, tolerance, given) {
    [given.values[form.name], given.halfWidths[form.name]] = measured(form, text, tolerance);
  }

  function list(form, text, tolerance, given) {
    const items = itemsOf(text);
    if (items.length < form.least_rows || items.length > form.most_rows) { refuse(`there are ${items.length} values`, `${form.least_rows} to ${form.most_rows} are taken here`); }
    const values = [];
    items.forEach((item, index) => {
      try {
        const [value, half] = measured(form, item, tolerance);
        values.push(value);
        given.halfWidths[`${form.name}[${index + 1}]`] = half;
      } catch (error) {
        if (error instanceof BadTolerance || !(error instanceof Q.QuantityProblem)) { throw error; }
        refuse(`row ${index + 1}: ${error.message}`, error.hint);
      }
    });
    given.values[form.name] = values;
  }

  function choice(form, text, tolerance, given) {
    const option = optionOf(form, text);
    if (form.kind === "choice") { given.values[form.name] = form.options.indexOf(option); }
    Object.assign(given.values, option.symbols);
  }

  function marking(form, text, tolerance, given) {
    const read = form.kind === "letters" ? Q.readLetters : Q.readDigits;
    [given.values[form.name], given.values[`${form.name}_tolerance`]] = read(text, form.unit);
  }

  const READ = { number, count: number, list, choice, tube: choice, fastener: choice, wire: choice, letters: marking, digits: marking };

  function readInputs(forms, texts, tolerances) {
    const given = { values: Object.create(null), halfWidths: Object.create(null), texts: Object.create(null), problems: Object.create(null) };
    const textOf = (table, name, usual) => (Object.hasOwn(table, name) ? String(table[name]) : usual);
    for (const form of forms) {
      const text = textOf(texts, form.name, form.default);
      given.texts[form.name] = text;
      try {
        READ[form.kind](form, text, textOf(tolerances, form.name, form.tolerance ?? ""), given);
      } catch (error) {
        if (!(error instanceof Q.QuantityProblem)) { throw error; }
        given.problems[error instanceof BadTolerance ? `tolerance.${form.name}` : form.name] = error.sentence;
      }
    }
    checkTables(forms, given);
    return given;
  }

  function checkTables(forms, given) {
    const lengths = Object.create(null);
    for (const form of forms) {
      const values = given.values[form.name];
      if (!form.table || !Array.isArray(values)) { continue; }
      lengths[form.table] ??= [form.label, values.length];
      const [first, length] = lengths[form.table];
      if (length !== values.length) { given.problems[form.name] = `There are ${values.length} values here and ${length} in ${first}; give as many of both.`; }
    }
  }

  // ---- words
  const inSentence = (label) => (/^.\p{Ll}/u.test(label) ? label.charAt(0).toLowerCase() + label.slice(1) : label);
  const valueText = (value, unit, digits) => (unit.startsWith("~") ? Q.engineering(value, unit.slice(1), digits) : Q.shown(value, unit, digits));

  function resultText(form, value) {
    if (form.shown === "word") { return form.words[Math.round(value)] ?? "\u2014"; }
    if (form.shown === "prefix") { return Q.engineering(value, Q.dimensionOf(form.unit), form.digits); }
    if (form.shown === "above zero" && value <= 0) { return "none"; }
    if (form.shown === "letters") { return Q.letters(value, form.unit); }
    if (form.shown === "digits") { return Q.digits(value, form.unit); }
    return Q.shown(value, form.unit, form.digits);
  }

  function spreadText(form, value, expanded) {
    const unit = form.shown === "prefix" ? Q.fitting(value, Q.dimensionOf(form.unit), form.digits) : form.unit;
    return Q.shown(expanded + Q.offsetOf(unit), unit, 2);
  }

  const counted = (form, value) => ["number", "prefix"].includes(form.shown) || (form.shown === "above zero" && value > 0);
  const listed = (value) => (Array.isArray(value) ? value : [value]);

  function combined(slope, halfWidths) {
    const squares = Object.entries(slope).filter(([key]) => halfWidths[key]).map(([key, amount]) => [key, (amount * halfWidths[key]) ** 2 / 3]);
    const sum = squares.reduce((total, [, square]) => total + square, 0);
    const shares = sum > 0 ? squares.map(([key, square]) => [key, square / sum]) : [];
    const dominant = shares.reduce((best, one) => (!best || one[1] > best[1] || (one[1] === best[1] && one[0] > best[0]) ? one : best), null);
    return { expanded: COVERAGE * Math.sqrt(sum), shares: Object.fromEntries(shares), dominant };
  }

  class Speaker {
    constructor(calculator, given, values, slopes) {
      Object.assign(this, { calculator, given, values, slopes });
      this.measuring = Object.values(given.halfWidths).some((half) => half > 0);
    }

    known(name) {
      return this.slopes && this.measuring ? combined(this.slopes[name] ?? {}, this.given.halfWidths) : null;
    }

    result(form) {
      const value = this.values[form.name];
      const base = { value, unit: Q.baseOf(form.unit), items: listed(value).map((item) => resultText(form, item)) };
      base.text = base.items.join("; ");
      if (Array.isArray(value)) { return { ...base, uncertainty: null, uncertaintyText: "", dominantText: "", verdict: null }; }
      const known = this.known(form.name);
      const unsure = known !== null && known.expanded > 0 && counted(form, value);
      return {
        ...base,
        uncertainty: known && known.expanded,
        uncertaintyText: unsure ? `\u00b1 ${spreadText(form, value, known.expanded)}` : "",
        dominantText: unsure ? this.dominantText(known) : "",
        shares: known ? known.shares : {},
        verdict: this.verdict(form.name),
      };
    }

    dominantText(known) {
      if (!known.dominant) { return ""; }
      const [, name, row] = /^([^[]*)(?:\[([0-9]+)\])?$/.exec(known.dominant[0]);
      const label = this.calculator.inputs.find((form) => form.name === name).label;
      return `mostly from ${inSentence(label)}${row ? `, row ${row}` : ""} (${Q.rounded(100 * known.dominant[1], 2)} %)`;
    }

    verdict(name) {
      const edges = [];
      for (const [when, own, says, mark] of this.calculator.verdicts[name] ?? []) {
        edges.push(...own);
        if (when && !when(this.values)) { continue; }
        const across = edges.some((edge) => this.spans(edge));
        const words = says.map((part) => (typeof part === "string" ? part : this.said(part[0], part[1]))).join("");
        return { mark, words: across ? `${/[.?!]$/.test(words) ? words : `${words}.`} ${B.grammar.across}` : words, across };
      }
      return null;
    }

    spans(edge) {
      const known = this.known(edge);
      return known !== null && Math.abs(this.values[edge]) < known.expanded;
    }

    said(name, unit) {
      const form = this.calculator.inputs.find((one) => one.name === name);
      if (form && form.options.length) {
        const option = optionOf(form, this.given.texts[name]);
        return unit === "system" ? option.system : option.label;
      }
      const result = this.calculator.results.find((one) => one.name === name);
      const items = listed(this.values[name]);
      if (items.length > 12) { return `${items.length} values`; }
      if (result && !unit) { return items.map((item) => resultText(result, item)).join("; "); }
      const [own, digits] = this.calculator.shows[name];
      return items.map((item) => valueText(item, unit || own, digits)).join("; ");
    }

    put(token) {
      if (typeof token === "string") { return token; }
      if (!Array.isArray(token)) { return (token.test(this.values) ? token.yes : token.no).map((one) => this.put(one)).join(""); }
      const text = this.said(token[0]);
      return token[2] || text.startsWith("-") ? `(${text})` : text;
    }

    working() {
      const lines = [];
      for (const [name, label, equation, tokens] of this.calculator.lines) {
        const value = this.values[name];
        if (Array.isArray(value) && value.length > 12) { continue; }
        const symbols = plain(tokens), numbers = tokens.map((token) => this.put(token)).join(""), end = this.said(name);
        if (equation) {
          lines.push(`${label} is where ${symbols}: ${end}`);
        } else if (numbers === symbols || numbers === end || Array.isArray(value)) {
          lines.push(`${label} = ${symbols} = ${end}`);
        } else {
          lines.push(`${label} = ${symbols} = ${numbers} = ${end}`);
        }
      }
      return lines;
    }
  }

  const plain = (tokens) => tokens.map((token) => {
    if (typeof token === "string") { return token; }
    return Array.isArray(token) ? token[1] : `${plain(token.yes)} when ${plain(token.said)} else ${plain(token.no)}`;
  }).join("");

  function failedWords(calculator, failed) {
    if (failed.said) { return failed.message; }
    const name = failed.step.split("#")[0].split("?")[0];
    return `With these values ${calculator.shows[name]?.[2] ?? name} cannot be worked out: it comes to ${failed.message}.`;
  }

  function seeds(calculator, given) {
    const slopes = Object.create(null);
    for (const form of calculator.inputs) {
      const value = given.values[form.name];
      if (Array.isArray(value)) {
        slopes[form.name] = value.map((_, i) => `${form.name}[${i + 1}]`).map((key) => (given.halfWidths[key] ? { [key]: 1 } : {}));
      } else if (given.halfWidths[form.name]) {
        slopes[form.name] = { [form.name]: 1 };
      }
    }
    return slopes;
  }

  function carried(calculator, given, values) {
    const slopes = seeds(calculator, given);
    try {
      R.carry(calculator.steps, values, slopes);
    } catch (error) {
      if (error instanceof R.Impossible) { return null; }
      throw error;
    }
    return slopes;
  }

  // The whole answer; where there are problems (sentences by input name, or under "") there are no results.
  B.evaluate = function (id, texts, tolerances) {
    const calculator = B.calculators[id];
    const given = readInputs(calculator.inputs, texts ?? {}, tolerances ?? {});
    const outcome = { calculator: id, results: {}, values: {}, problems: given.problems, working: [], said: () => "" };
    if (Object.keys(given.problems).length) { return outcome; }
    const values = Object.assign(Object.create(null), given.values);
    try {
      R.run(calculator.steps, values);
    } catch (error) {
      if (!(error instanceof R.Failed)) { throw error; }
      outcome.problems[""] = failedWords(calculator, error);
      return outcome;
    }
    const speaker = new Speaker(calculator, given, values, carried(calculator, given, values));
    for (const form of calculator.results) { outcome.results[form.name] = speaker.result(form); }
    outcome.values = Object.fromEntries(Object.entries(values).filter(([name]) => !/[#?]/.test(name)));
    outcome.working = speaker.working();
    outcome.said = (name) => speaker.said(name);
    return outcome;
  };
})(globalThis.Benchlore);
