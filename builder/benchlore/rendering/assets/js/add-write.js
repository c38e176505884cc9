// Forms of entries, part 2: what was typed as an entry in house form, the same as the builder's own tools write it (house.py).
(function (B) {
  "use strict";
  const add = (B.add ??= {});
  if (!add.data) { return; }
  const WIDTH = 140;
  const { tables } = add.data;
  const plain = (text) => text.split(/\s+/u).filter(Boolean).join(" ");

  // One line of text as a YAML scalar: plain where that is safe, else in single quotes.
  function scalar(raw, inFlow) {
    const text = plain(raw);
    const awkward = ["", "~", "null", "Null", "NULL"].includes(text) || "?:,[]{}#&*!|>'\"%@`".includes(text[0]) ||
      (text[0] === "-" && !/^-[\p{L}\p{N}_.]/u.test(text)) || text.startsWith("---") || text.startsWith("...") ||
      text.includes(": ") || text.includes(" #") || text.endsWith(":") || (inFlow && /[,[\]{}]/.test(text));
    return awkward ? `'${text.replaceAll("'", "''")}'` : text;
  }

  function prose(name, raw, pad) {
    const text = raw.replace(/\t/g, "    ").replace(/^\n+|\s+$/g, "");
    if (!text.trim().includes("\n") && text.length <= WIDTH - pad.length - name.length - 2) { return [`${pad}${name}: ${scalar(text)}`]; }
    const lines = text.split("\n").map((line) => (line.trim() ? `${pad}  ${line.trimEnd()}` : ""));
    return [`${pad}${name}: ${text.startsWith(" ") ? "|2" : "|"}`, ...lines];
  }

  // A record of which only the field that a bare text stands for is filled in, as that text.
  const bare = (item, type) => {
    if (type.is !== "part") { return item; }
    const filled = Object.keys(item).filter((name) => add.written(item[name]));
    return filled.length === 1 && filled[0] === type.shorthand ? item[type.shorthand] : null;
  };

  function list(name, items, type, indent) {
    const pad = " ".repeat(indent);
    const texts = items.map((item) => bare(item, type.of));
    if (texts.every((text) => text !== null)) {
      const line = `${pad}${name}: [${texts.map((text) => scalar(text, true)).join(", ")}]`;
      if (line.length <= WIDTH && texts.every((text) => text.length <= 60)) { return [line]; }
    }
    return [`${pad}${name}:`, ...items.flatMap((item, at) => {
      if (texts[at] !== null) { return [`${pad}  - ${scalar(texts[at])}`]; }
      const [first, ...rest] = record(item, type.of.record, indent + 4);
      return [`${pad}  - ${first.trimStart()}`, ...rest];
    })];
  }

  function field(name, raw, type, indent) {
    const pad = " ".repeat(indent);
    if (type.is === "many") { return list(name, add.kept(raw), type, indent); }
    if (type.is === "part") {
      const text = bare(raw, type);
      return text === null ? [`${pad}${name}:`, ...record(raw, type.record, indent + 2)] : [`${pad}${name}: ${scalar(text)}`];
    }
    if (type.is === "table") {
      return [`${pad}${name}: {${Object.entries(raw).filter(([, item]) => add.written(item)).map(([key, item]) => `${scalar(key, true)}: ${scalar(item, true)}`).join(", ")}}`];
    }
    return type.is === "prose" ? prose(name, raw, pad) : [`${pad}${name}: ${scalar(raw)}`];
  }

  function record(raw, name, indent) {
    return tables[name].flatMap((one) => {
      if (add.written(raw[one.name])) { return field(one.name, raw[one.name], one.type, indent); }
      return one.need !== "optional" && one.type.is === "many" && one.type.least === 0 ? [`${" ".repeat(indent)}${one.name}: []`] : [];
    });
  }

  // The text of the entry's file.
  add.write = (kind, raw) => `${record(raw, add.data.forms[kind].record, 0).join("\n")}\n`;

  // A name for the file, as long as nobody gives another.
  add.idFor = function (kind, raw) {
    const taken = (id) => Object.hasOwn(add.data.ids[kind], id);
    return kind === "finding" ? B.naming.finding(raw.date || "", raw.family || "", raw.technician || "", taken) : B.naming.titled(raw.title || "", taken);
  };
})(globalThis.Benchlore ??= {});
