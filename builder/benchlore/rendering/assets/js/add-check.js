// Forms of entries, part 1: what is wrong with what was typed. The rules are the builder's own as far as a page can know them;
// patterns and field tables come from add-tables.js. Nothing here touches the page.
(function (B) {
  "use strict";
  const add = (B.add ??= {});
  if (!add.data) { return; }
  const { tables, rules, ids, lists, revisions } = add.data;
  const whole = Object.fromEntries(Object.entries(rules.patterns).map(([name, text]) => [name, new RegExp(`^(?:${text})$`, "u")]));
  const inside = Object.fromEntries(Object.entries(rules.patterns).map(([name, text]) => [name, new RegExp(text, "u")]));
  const every = new RegExp(rules.patterns.mention, "gu");

  const quoted = (text) => {
    const line = text.split(/\s+/u).filter(Boolean).join(" ");
    const signs = Array.from(line);
    return `"${signs.slice(0, 60).join("").replace(/(?! )[\p{C}\p{Z}]/gu, "?")}${signs.length > 60 ? "..." : ""}"`;
  };

  // Steps from one word to another, a swapped pair counting as one; for "did you mean".
  function steps(one, other) {
    let before = [], row = Array.from({ length: other.length + 1 }, (_, n) => n);
    for (let i = 1; i <= one.length; i++) {
      const next = [i];
      for (let j = 1; j <= other.length; j++) {
        const same = one[i - 1] === other[j - 1];
        next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (same ? 0 : 1));
        if (i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1]) { next[j] = Math.min(next[j], before[j - 2] + 1); }
      }
      [before, row] = [row, next];
    }
    return row[other.length];
  }

  function meant(word, known) {
    const folded = word.toLowerCase();
    const near = known.map((name) => [steps(folded, name.toLowerCase()), name]).sort((a, b) => a[0] - b[0])[0];
    if (near && near[0] <= Math.max(1, folded.length * 0.34)) { return `did you mean ${near[1]}?`; }
    return known.length ? `known here: ${known.slice(0, 12).join(", ")}${known.length > 12 ? ", ..." : ""}` : "there are none yet: write it first, or take this out";
  }

  // ---- is anything written?

  function written(raw) {
    if (typeof raw === "string") { return raw.trim() !== ""; }
    return raw !== undefined && raw !== null && Object.values(raw).some(written);
  }

  const kept = (raw) => (Array.isArray(raw) ? raw : []).filter(written);

  // ---- one value: null, or [what is wrong, how to mend it]

  const LONG = (text, type) => {
    const length = Array.from(text).length;
    return length > type.longest ? [`${length} characters, more than the ${type.longest} this field takes`, "say it shorter, or move it to the summary"] : null;
  };
  const number = (text, type, pattern, what, write) => {
    if (!whole[pattern].test(text)) { return [`${quoted(text)} is not ${what}`, write]; }
    return Number(text) >= type.least && Number(text) <= type.most ? null : [`${text} is outside ${type.least} to ${type.most}`, "check the number"];
  };
  const slug = (text) => whole.id.test(text) && text.length <= 60 ? null
    : [`${quoted(text)} cannot be a key or id`, "use up to 60 small letters and digits, joined by single hyphens"];

  const CHECKS = {
    text: LONG,
    prose: LONG,
    code: LONG,
    choice: (text, type) => type.words.includes(text) ? null : [`${quoted(text)} is not one of the words this field takes`, meant(text, type.words)],
    flag: (text) => ["yes", "no", "true", "false"].includes(text) ? null : [`${quoted(text)} is neither yes nor no`, "write yes or no"],
    whole: (text, type) => number(text, type, "whole", "a whole number", `write a number from ${type.least} to ${type.most} in plain digits`),
    real: (text, type) => number(text, type, "real", "a number", "write plain digits with a decimal point, and no unit"),
    date: (text) => {
      const day = whole.date.test(text) && Number(text.slice(0, 4)) ? new Date(`${text}T00:00:00Z`) : null;
      return day && !Number.isNaN(day.getTime()) && day.toISOString().startsWith(text) ? null : [`${quoted(text)} is not a day`, "write it as year-month-day, such as 2025-03-14"];
    },
    slug,
    ref: (text, type) => {
      const shape = slug(text);
      if (shape || Object.hasOwn(ids[type.kind], text)) { return shape; }
      return [`there is no ${type.kind} "${text}"`, meant(text, Object.keys(ids[type.kind]))];
    },
    amount: (text, type) => {
      if (text === "unknown") { return type.unknown ? null : ['"unknown" cannot stand here', "measure it, or leave the line out"]; }
      try {
        const { low, high } = B.quantity.readEntry(text, type.dimension);
        if (low !== high && !type.range) { return [`${quoted(text)} is a range where one value is wanted`, "write a single value"]; }
        if (low < type.least || high > type.most) {
          return [`${quoted(text)} is outside what this field can be (${type.least} to ${type.most} in base units)`, "check the number and its unit"];
        }
        return null;
      } catch (problem) {
        if (!(problem instanceof B.quantity.QuantityProblem)) { throw problem; }
        return [problem.message, problem.hint];
      }
    }
  };

  function valueProblem(raw, type) {
    const text = raw.trim();
    if (inside.forbidden.test(text.replace(/[\n\t]/g, " "))) { return ["a character that must not stand here", "remove it"]; }
    const problem = CHECKS[type.is](text, type);
    if (problem || !["text", "prose", "code"].includes(type.is)) { return problem; }
    if (inside.left.test(text)) { return ["still to be written", "fill it in, or leave it empty if the field is optional"]; }
    if (type.is === "code") { return null; }
    for (const [, kind, id] of text.matchAll(every)) {
      if (ids[kind] && !Object.hasOwn(ids[kind], id)) { return [`there is no ${kind} "${id}"`, meant(id, Object.keys(ids[kind]))]; }
    }
    return null;
  }

  // ---- records and lists

  function value(raw, type, path, say) {
    if (type.is === "many") { many(kept(raw), type, path, say); }
    else if (type.is === "part") { record(raw, type.record, path, say); }
    else if (type.is === "table") {
      for (const [key, item] of Object.entries(raw)) {
        if (!whole[type.keys].test(key)) { say(path, `${quoted(key)} cannot be a name here`, `use ${type.keys === "pin" ? "a pin number, or cap" : "a short name of letters, digits and _"}`); }
        else if (!written(item)) { say(`${path}.${key}`, "nothing is written here", "fill it in, or remove this one"); }
        else { value(item, type.of, `${path}.${key}`, say); }
      }
    } else {
      const problem = valueProblem(raw, type);
      if (problem) { say(path, ...problem); }
    }
  }

  function many(items, type, path, say) {
    if (items.length < type.least || items.length > type.most) {
      const wanted = items.length < type.least ? `at least ${type.least}` : `at most ${type.most}`;
      say(path, `${items.length} item${items.length === 1 ? "" : "s"} where ${wanted} are wanted`, items.length < type.least ? "add what is missing" : "take some away");
    }
    const seen = new Set();
    items.forEach((item, at) => {
      value(item, type.of, `${path}[${at}]`, say);
      const bare = typeof item === "string" || ["ref", "slug"].includes(type.of.is);
      const key = bare ? (["ref", "slug"].includes(type.of.is) ? item : null) : type.key && item[type.key];
      if (typeof key !== "string" || !key.trim()) { return; }
      if (seen.has(key.trim())) { say(`${path}[${at}]${bare ? "" : `.${type.key}`}`, `${quoted(key)} stands here twice`, "keep one, or give it another key"); }
      seen.add(key.trim());
    });
  }

  function record(raw, name, path, say) {
    for (const field of tables[name]) {
      const at = path ? `${path}.${field.name}` : field.name;
      const type = field.type;
      if (type.is === "part" && field.need === "required") { record(raw[field.name] ?? {}, type.record, at, say); }
      else if (written(raw[field.name])) { value(raw[field.name], type, at, say); }
      else if (field.need === "required" && !(type.is === "many" && type.least === 0)) {
        const example = field.example && field.example.length < 60 ? `write it, such as ${field.example}` : "fill it in";
        say(at, "missing", ["choice", "flag"].includes(type.is) ? "choose one" : example, true);
      }
    }
  }

  // ---- rules that look at more than one field, as the audit's

  const texts = (raw, path, see) => {
    if (typeof raw === "string") { see(raw, path); }
    else if (Array.isArray(raw)) { kept(raw).forEach((item, at) => texts(item, `${path}[${at}]`, see)); }
    else if (raw) { Object.entries(raw).forEach(([key, item]) => texts(item, path ? `${path}.${key}` : key, see)); }
  };
  const trimmed = (raw) => (typeof raw === "string" ? raw.trim() : "");

  function known(word, all, what, path, say) {
    if (trimmed(word) && !all.includes(trimmed(word))) { say(path, `there is no ${what} "${trimmed(word)}"`, meant(trimmed(word), all)); }
  }

  const AUDITS = {
    fault(raw, say) {
      const checks = kept(raw.checks);
      checks.forEach((check, at) => {
        if (trimmed(check.power) === "on" && !trimmed(check.caution)) {
          say(`checks[${at}].caution`, "a check with power on needs a caution", "say what is live and how high, and how to stay clear");
        }
        kept(check.after).forEach((key, n) => known(key, checks.map((c) => trimmed(c.key)), "check of this fault", `checks[${at}].after[${n}]`, say));
      });
    },
    finding(raw, say) {
      kept(raw.checks).forEach((result, at) => {
        const check = trimmed(result.check);
        if (!check.includes("/") || Object.hasOwn(ids.fault, check.split("/")[0])) { known(check, lists.check, "check", `checks[${at}].check`, say); }
      });
      const keys = Object.hasOwn(revisions, trimmed(raw.family)) ? revisions[trimmed(raw.family)] : [];
      if (keys.length) { known(raw.revision, keys, "revision of this family", "revision", say); }
      texts(raw, "", (text, path) => {
        if (inside.mail.test(text) || inside.phone.test(text)) {
          say(path, "looks like a mail address or a telephone number", "findings are shared: take out everything about the owner");
        }
      });
    },
    family(raw, say) {
      ["opening", "closing"].forEach((name) => kept(raw[name]).forEach((step, at) => {
        if (trimmed(step.hazard) && !trimmed(step.warning)) { say(`${name}[${at}].warning`, "a hazard without words", "say what can hurt, and how to stay clear"); }
      }));
      const nodes = kept(raw.supply).map((node) => trimmed(node.node));
      kept(raw.supply).forEach((node, at) => known(node.fed_from, nodes.filter((one) => one !== trimmed(node.node)), "node of this supply", `supply[${at}].fed_from`, say));
      const variants = kept(raw.variants).map((one) => trimmed(one.key));
      kept(raw.weak_points).forEach((weak, at) => ["since", "until"].forEach((name) => known(weak[name], variants, "revision of this family", `weak_points[${at}].${name}`, say)));
      const views = kept(raw.views).map((one) => trimmed(one.view));
      [["hardware", "spots"], ["lead_dress", "ends"]].forEach(([name, spots]) => kept(raw[name]).forEach((item, at) =>
        kept(item[spots]).forEach((spot, n) => known(spot.view, views, "view of this family", `${name}[${at}].${spots}[${n}].view`, say))));
    }
  };

  // Everything that is wrong with an entry as typed: [{path, message, hint, missing}], each place once, in the order of the fields.
  add.check = function (kind, raw) {
    const found = new Map();
    const say = (path, message, hint, missing = false) => { if (!found.has(path)) { found.set(path, { path, message, hint, missing }); } };
    record(raw, add.data.forms[kind].record, "", say);
    AUDITS[kind](raw, say);
    const title = trimmed(raw.title).toLowerCase();
    const twin = kind === "finding" ? null : Object.entries(ids[kind]).find(([, other]) => other.toLowerCase() === title);
    if (twin) { say("title", `"${trimmed(raw.title)}" is the title of ${twin[0]} too`, "change one of the two"); }
    return Array.from(found.values());
  };

  // What is wrong with a file's name, which is the entry's id.
  add.checkId = function (kind, id) {
    if (!id) { return ["missing", "the file's name is the entry's id"]; }
    if (Object.hasOwn(ids[kind], id)) { return [`there is a ${kind} of that name already`, "choose another name, or change that file instead"]; }
    if (rules.reserved.includes(id)) { return [`"${id}" is a reserved file name on some machines`, "choose another name"]; }
    return slug(id);
  };

  Object.assign(add, { kept, written, trimmed });
})(globalThis.Benchlore ??= {});
