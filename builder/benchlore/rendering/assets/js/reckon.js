// The arithmetic of the calculators: what running.py, functions.py and series.py do, in the same order, on the
// functions that the builder printed; the solver is printed from solving.py (grammar.js). Every sum gives a finite number or throws Impossible with the reason in words.
(function (B) {
  "use strict";
  const SERIES = B.grammar.series;
  const LARGEST_UPTO = 60;

  class Impossible extends Error {}
  class NoRoot extends Impossible {}
  // A step that could not be done; `said` means that its reason is a whole sentence of the entry.
  class Failed extends Impossible {
    constructor(reason, name, said) {
      super(reason);
      this.step = name;
      this.said = said;
    }
  }
  const impossible = (reason) => { throw new Impossible(reason); };
  const power10 = (n) => Number(`1e${n}`);

  // The preferred values at or below and at or above a value.
  function around(value, count) {
    if (value <= 0) { return [0, 0]; }
    const decade = Math.floor(Math.log10(value));
    const ladder = [decade - 1, decade, decade + 1].flatMap((p) => SERIES[count].map((member) => Number(`${member}e${p}`)));
    const slack = value * 1e-9;
    return [Math.max(...ladder.filter((step) => step <= value + slack)), Math.min(...ladder.filter((step) => step >= value - slack))];
  }

  const decade = (a) => (a === 0 ? 0 : Math.floor(Math.log10(Math.abs(a) * (1 + 1e-12))));
  const f = {
    div: (a, b) => (b === 0 ? impossible("division by zero") : a / b),
    pow(a, b) {
      if (a === 0 && b < 0) { impossible("division by zero"); }
      if (a < 0 && b !== Math.floor(b)) { impossible("a fractional power of a negative number"); }
      const value = Math.pow(a, b);
      return Number.isFinite(value) ? value : impossible("a number too large");
    },
    sqrt: (a) => (a < 0 ? impossible("the square root of a negative number") : Math.sqrt(a)),
    exp(a) {
      const value = Math.exp(a);
      return Number.isFinite(value) ? value : impossible("a number too large");
    },
    positive: (a) => (a <= 0 ? impossible("the logarithm of zero or of a negative number") : a),
    ln: (a) => Math.log(f.positive(a)),
    log10: (a) => Math.log10(f.positive(a)),
    mod: (a, b) => a - b * Math.floor(f.div(a, b)),
    decade,
    digit(a, n) {
      if (!(n >= 1 && n <= 9)) { impossible("a figure before the first or after the ninth"); }
      return Math.floor((Math.abs(a) / power10(decade(a) - n + 1)) * (1 + 1e-12)) % 10;
    },
  };
  for (const count of Object.keys(SERIES)) {
    f[`below_e${count}`] = (a) => around(a, count)[0];
    f[`above_e${count}`] = (a) => around(a, count)[1];
    f[`nearest_e${count}`] = (a) => { const [low, high] = around(a, count); return a - low < high - a ? low : high; };
  }

  const finite = (value) => (Number.isFinite(value) ? value : impossible("a number too large"));
  const total = (items) => items.reduce((sum, item) => sum + item, 0);
  const REDUCE = {
    count: (items) => items.length,
    sum: total,
    mean: (items) => total(items) / items.length,
    first: (items) => items[0],
    last: (items) => items[items.length - 1],
    min: (items) => Math.min(...items),
    max: (items) => Math.max(...items),
  };

  function reduce(name, items) {
    if (items.length === 0 && name !== "count" && name !== "sum") { impossible(`the ${name} of an empty list`); }
    return finite(REDUCE[name](items));
  }

  function upto(n) {
    if (!(n >= 0 && n <= LARGEST_UPTO && n === Math.floor(n))) { impossible(`a list of ${n} items (0 to ${LARGEST_UPTO} are possible)`); }
    return Array.from({ length: n }, (_, i) => i + 1);
  }

  function running(items) {
    let sum = 0;
    return items.map((item) => { sum = finite(sum + item); return sum; });
  }

  // Each item's own values, as an array for every row of the lists.
  function rows(over, v) {
    const columns = over.map(([, source]) => v[source]);
    if (new Set(columns.map((column) => column.length)).size > 1) { impossible("lists of different length"); }
    return columns[0].map((_, row) => columns.map((column) => column[row]));
  }

  const copy = (table) => Object.assign(Object.create(null), table);
  const DO = {
    formula: ([, , of], v) => finite(of(v)),
    map: ([, , of, , over], v) => rows(over, v).map((row) => finite(of(v, row))),
    reduce: ([, , name, source], v) => reduce(name, v[source]),
    spread: ([, , name, source], v) => (name === "upto" ? upto(v[source]) : running(v[source])),
    root([, name, low, high, inner, residual, none], v) {
      const found = B.rootBetween((guess) => {
        const tried = copy(v);
        tried[name] = guess;
        run(inner, tried);
        return tried[residual];
      }, v[low], v[high]);
      if (found === null) { throw new NoRoot(none); }
      return found;
    },
  };

  // Set the value of every step, in order.
  function run(steps, v) {
    for (const step of steps) {
      try {
        v[step[1]] = DO[step[0]](step, v);
      } catch (error) {
        if (error instanceof Failed || !(error instanceof Impossible)) { throw error; }
        throw new Failed(error.message, step[1], error instanceof NoRoot);
      }
    }
  }

  // ---- slopes: how fast a value varies with each measured quantity, by its key
  function add(sum, slope, factor) {
    for (const key of Object.keys(slope)) { sum[key] = (sum[key] ?? 0) + factor * slope[key]; }
  }

  function chain(partials, slopeOf, call) {
    const sum = Object.create(null);
    for (const name of Object.keys(partials)) {
      const slope = slopeOf(name);
      if (slope && Object.keys(slope).length) { add(sum, slope, finite(call(partials[name]))); }
    }
    return sum;
  }

  const CARRY = {
    formula: ([, , , partials], v, s) => chain(partials, (name) => s[name], (of) => of(v)),
    map: ([, , , partials, over], v, s) => rows(over, v).map((row, i) => {
      const ownSlope = (name) => {
        const at = over.findIndex(([variable]) => variable === name);
        return at < 0 ? s[name] : s[over[at][1]]?.[i];
      };
      return chain(partials, ownSlope, (of) => of(v, row));
    }),
    reduce([, , name, source], v, s) {
      const items = s[source] ?? [], sum = Object.create(null);
      if (name === "count" || items.length === 0) { return sum; }
      if (name === "sum" || name === "mean") {
        items.forEach((item) => add(sum, item, name === "sum" ? 1 : 1 / items.length));
        return sum;
      }
      const list = v[source];
      const at = name === "first" ? 0 : name === "last" ? list.length - 1 : list.indexOf(name === "min" ? Math.min(...list) : Math.max(...list));
      return items[at];
    },
    spread([, own, name, source], v, s) {
      const items = name === "running" ? s[source] : null;
      if (!items || items.length === 0) { return v[own].map(() => Object.create(null)); }
      const sum = Object.create(null);
      return items.map((item) => { add(sum, item, 1); return copy(sum); });
    },
    root([, name, , , inner, residual], v, s) {
      const inside = copy(v), carried = copy(s), key = `${name}#`;
      run(inner, inside);
      carried[name] = { [key]: 1 };
      carry(inner, inside, carried);
      const { [key]: byUnknown = 0, ...rest } = carried[residual];
      if (byUnknown === 0 && Object.keys(rest).length === 0) { return {}; }
      if (byUnknown === 0) { impossible("an equation that does not vary with its unknown there"); }
      return Object.fromEntries(Object.entries(rest).map(([one, amount]) => [one, -amount / byUnknown]));
    },
  };

  function carry(steps, v, s) {
    for (const step of steps) { s[step[1]] = CARRY[step[0]](step, v, s); }
  }

  B.functions = f;
  B.reckon = { Impossible, Failed, run, carry };
})(globalThis.Benchlore);
