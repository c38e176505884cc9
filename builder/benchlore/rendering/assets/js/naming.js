// The name of an entry's file, the same in the form, on the job sheet and in the terminal (sharing/naming.py).
(function (B) {
  "use strict";
  const MOST = 56; // room for a number behind it

  const slug = (words, most) => words.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-/, "").slice(0, most).replace(/-$/, "");

  function free(start, taken) {
    let id = start;
    for (let n = 2; taken(id); n += 1) { id = `${start}-${n}`; }
    return id;
  }

  // A finding: its day, the family, and the initials of who signs, so that files sort by day and two technicians never meet on one
  // name; without initials a letter.
  function finding(date, family, initials, taken) {
    const who = slug(initials, 6);
    const head = slug([date, family].filter(Boolean).join(" "), MOST - 1 - Math.max(1, who.length));
    if (!head || who) { return head && free(`${head}-${who}`, taken); }
    const letter = [..."abcdefghijklmnopqrstuvwxyz"].find((one) => !taken(`${head}-${one}`));
    return letter ? `${head}-${letter}` : free(`${head}-z`, taken);
  }

  // Any other entry: its title.
  function titled(title, taken) {
    const start = slug(title, MOST);
    return start && free(start, taken);
  }

  B.naming = { finding, titled };
})(globalThis.Benchlore ??= {});
