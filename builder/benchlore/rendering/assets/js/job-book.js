// Job sheet: the book's data, looked up by id; a family's own file is fetched as a script when it is needed.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.record) { return; }
  const { book, texts, model } = J;
  const SHELF = /^[a-z0-9][a-z0-9-]{0,59}$/;
  const families = new Map(book.families.map((row) => [row[0], { id: row[0], title: row[1], names: [row[1], ...row[2]], maker: row[3], years: row[4] }]));
  const symptoms = new Map(book.symptoms.map((one) => [one.id, one]));
  const stages = new Map(book.stages.map(([id, title, group]) => [id, { id, title, group }]));
  const places = new Map(model.faults.map((id, at) => [id, at]));
  const signs = new Map(model.symptoms.map((id, at) => [id, at]));
  const checkAt = new Map(model.checks.map((row, at) => [row[0], at]));
  const loaded = new Map(), asked = new Set(), missing = new Set();

  const policy = (() => {
    const rules = { createScriptURL: (id) => {
      if (!SHELF.test(id)) { throw new TypeError("not a family of this book"); }
      return `assets/job/families/${id}.js`;
    } };
    return globalThis.trustedTypes ? globalThis.trustedTypes.createPolicy("benchlore-job", rules) : rules;
  })();

  // Called by each family's file.
  J.shelve = (id, data) => { loaded.set(id, data); };

  function fetchFamily(id) {
    if (asked.has(id)) { return; }
    asked.add(id);
    const script = document.createElement("script");
    script.src = policy.createScriptURL(id);
    script.addEventListener("error", () => { missing.add(id); J.record.show(); });
    script.addEventListener("load", () => { script.remove(); J.record.show(); });
    document.head.append(script);
  }

  // What the sheet knows of the family on the bench; null while it is on its way or not in the book.
  function family() {
    const id = J.record.get("family");
    if (!families.has(id)) { return null; }
    if (!loaded.has(id)) { fetchFamily(id); }
    return loaded.get(id) ?? null;
  }

  const EMPTY = { title: "?", summary: "", open: false, touches: [], minutes: 0, fix: [], parts: [], verify: [], cautions: [] };
  const fault = (id) => (Object.hasOwn(texts.faults, id) ? texts.faults[id] : { ...EMPTY, title: id });
  function check(id) {
    const row = Object.hasOwn(texts.checks, id) ? texts.checks[id] : [id, "", [], "off", "outside", "", "", ""];
    const [does, how, tools, power, setup, passes, fails, caution] = row;
    return { id, fault: id.split("/")[0], does, how, tools, power, setup, passes, fails, caution, minutes: checkAt.has(id) ? model.checks[checkAt.get(id)][2] : 0 };
  }

  // ---- finding things by words as they are typed
  const fold = (text) => text.toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f'’]/g, "");
  const IDLE = new Set("a an and any as at but by do does for from i in is it its just me my no not of on or so that the there this to up was when with you".split(" "));
  const wordsOf = (text) => fold(text).split(/[^a-z0-9]+/).filter((word) => word && !IDLE.has(word));
  const root = (word) => (word.length > 4 ? word.replace(/(?:ming|ning|ging|ping|ing|med|ned|ed|es|s|y)$/, "") : word);

  function indexOf(rows) {
    const cards = rows.map(([item, phrases]) => [item, phrases.map((phrase) => new Set(wordsOf(phrase).map(root)))]);
    const met = new Map();
    for (const [, phrases] of cards) { for (const word of new Set(phrases.flatMap((set) => [...set]))) { met.set(word, (met.get(word) ?? 0) + 1); } }
    return { cards, worth: (word) => Math.log(1 + cards.length / (met.get(word) ?? cards.length)) };
  }

  const matches = (word, set) => set.has(word) || (word.length > 2 && [...set].some((one) => one.startsWith(word)));

  // The items whose phrases share most with the words typed, best first.
  function search(index, text, limit) {
    const words = [...new Set(wordsOf(text).map(root))];
    if (!words.length) { return []; }
    const scored = index.cards.map(([item, phrases]) => {
      const best = phrases.reduce((top, set) => {
        const hit = words.filter((word) => matches(word, set));
        const sum = hit.reduce((total, word) => total + index.worth(word), 0);
        return Math.max(top, sum * (0.5 + hit.length / (set.size + 1)));
      }, 0);
      return [item, best];
    });
    const top = Math.max(...scored.map(([, score]) => score), 0);
    return scored.filter(([, score]) => score > 0 && score >= 0.35 * top).sort((a, b) => b[1] - a[1]).slice(0, limit).map(([item]) => item);
  }

  const symptomIndex = indexOf(book.symptoms.map((one) => [one.id, [one.title, ...one.words]]));
  const familyIndex = indexOf(book.families.map((row) => [row[0], [`${row[1]} ${row[3]}`, ...row[2]]]));
  const faultIndex = indexOf(Object.entries(texts.faults).map(([id, one]) => [id, [one.title, id.replaceAll("-", " ")]]));

  J.find = {
    symptoms: (text, limit) => search(symptomIndex, text, limit),
    families: (text, limit) => search(familyIndex, text, limit),
    faults: (text, limit) => search(faultIndex, text, limit),
    fold,
  };
  J.known = { families, symptoms, stages, places, signs, checkAt, family, fault, check, missing, faultUrl: (id) => `faults/${id}.html`, checkUrl: (id) => `faults/${id.split("/")[0]}.html#checks-${id.split("/")[1]}` };
})(globalThis.Benchlore ??= {});
