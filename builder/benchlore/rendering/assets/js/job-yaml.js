// Job sheet: the finding as YAML in house form, which the audit takes as it is. Pure; nothing of the owner enters it.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.closing) { return; }
  const NULLS = new Set(["", "~", "null", "Null", "NULL"]);
  const PLAIN = /^[\p{L}\p{N}](?:[\p{L}\p{N} .,;()%/+"'\u2019\u2212&-]|:(?! |$))*$/u;
  const LONG = 110;

  // Text without what may not stand in an entry: controls, direction marks, lone halves, links to entries that may not exist.
  const clean = (text) => text.normalize("NFC").replace(/\r\n?/g, "\n").replace(/\t/g, " ").replace(/[^\n\P{C}]|[\p{Zl}\p{Zp}\ufff9-\uffff]/gu, "").replaceAll("](", "] (").trim();
  const oneLine = (text, longest) => clean(text).replace(/\s+/g, " ").slice(0, longest).trim();

  function scalar(text, flow) {
    const plain = PLAIN.test(text) && !NULLS.has(text) && !(flow && /[,]/.test(text)) && !/ $/.test(text);
    return plain ? text : `'${text.replaceAll("'", "''")}'`;
  }

  function prose(name, text) {
    const words = clean(text).slice(0, 3900);
    if (!words.includes("\n") && words.length <= LONG) { return [`${name}: ${scalar(words)}`]; }
    return [`${name}: |`, ...words.split("\n").map((line) => (line.trim() ? `  ${line.trimEnd().replace(/^ +/, "")}` : ""))];
  }

  const list = (name, ids) => [`${name}: [${ids.map((id) => scalar(id, true)).join(", ")}]`];

  // The lines of a finding; fields in the order of its table.
  function finding(f) {
    return [
      `title: ${scalar(oneLine(f.title, 120))}`,
      `family: ${f.family}`,
      ...(f.revision ? [`revision: ${scalar(oneLine(f.revision, 60))}`] : []),
      ...list("symptoms", f.symptoms),
      ...(f.absent.length ? list("absent", f.absent) : []),
      ...list("faults", f.faults),
      ...(f.request ? [`request: ${scalar(oneLine(f.request, 290))}`] : []),
      ...prose("fix", f.fix),
      ...(f.checks.length ? ["checks:", ...f.checks.map(([id, result]) => `  - {check: ${id}, result: ${result}}`)] : []),
      `minutes: ${f.minutes}`,
      `parts_cost: ${f.parts}`,
      `technician: ${scalar(f.technician)}`,
      `date: ${f.date}`,
      ...(f.learned ? prose("learned", f.learned) : []),
    ].join("\n") + "\n";
  }

  J.yaml = { finding, scalar, clean, oneLine };
})(globalThis.Benchlore ??= {});
