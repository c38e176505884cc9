// Job sheet: a job as text and back. A file, and what the browser kept, may come from anybody: it is checked, bounded, and only ever text.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.dom) { return; }
  const WHAT = "benchlore job", VERSION = 1;
  const LONGEST_FILE = 2000000, MOST_FIELDS = 3000, LONGEST_FIELD = 20000;
  const KEY = /^[a-z][a-z-]{0,40}(?:\/[\p{L}\p{N}][\p{L}\p{N} ._+-]{0,79}){0,3}$/u;
  const ID = /^[a-z0-9]{4,40}$/;
  const TIME = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d{1,3})?Z$/;

  class Refused extends Error {}
  const refuse = (words) => { throw new Refused(words); };
  const own = (data, name) => (Object.hasOwn(data, name) ? data[name] : undefined);

  // The job as one JSON text; fields in the order in which they were first written.
  function toText(job, indent) {
    const fields = Object.fromEntries(job.fields);
    return JSON.stringify({ what: WHAT, version: VERSION, rev: job.rev, id: job.id, made: job.made, changed: job.changed, book: J.book?.site ?? "", fields }, null, indent);
  }

  function fieldsOf(data) {
    const fields = own(data, "fields");
    if (typeof fields !== "object" || fields === null || Array.isArray(fields)) { refuse("it holds no fields"); }
    const entries = Object.entries(fields);
    if (entries.length > MOST_FIELDS) { refuse(`it holds ${entries.length} fields, more than any job has`); }
    for (const [key, value] of entries) {
      if (!KEY.test(key)) { refuse(`it holds a field with a name that no job sheet gives (${key.slice(0, 30).replace(/[^ -~]/g, "?")})`); }
      if (typeof value !== "string") { refuse(`its field ${key} is not text`); }
      if (value.length > LONGEST_FIELD) { refuse(`its field ${key} is too long`); }
    }
    return new Map(entries);
  }

  // A job from its text, or Refused with the reason in words.
  function fromText(text) {
    if (text.length > LONGEST_FILE) { refuse("it is larger than any job file"); }
    let data;
    try {
      data = JSON.parse(text);
    } catch {
      refuse("it is not a whole job file: it breaks off or was changed");
    }
    if (typeof data !== "object" || data === null || own(data, "what") !== WHAT) { refuse("it is not a job file of this sheet"); }
    const version = own(data, "version");
    if (!Number.isInteger(version) || version < 1) { refuse("it does not say which version it is"); }
    if (version > VERSION) { refuse(`it was saved by a newer sheet (version ${version}; this one reads version ${VERSION}): open it with the newer book`); }
    const id = own(data, "id"), rev = own(data, "rev");
    if (typeof id !== "string" || !ID.test(id)) { refuse("its job has no proper name"); }
    if (!Number.isSafeInteger(rev) || rev < 0 || rev > 1e9) { refuse("its count of changes is broken"); }
    const time = (name) => { const value = own(data, name); return typeof value === "string" && TIME.test(value) ? value : "1970-01-01T00:00:00Z"; };
    return { id, rev, made: time("made"), changed: time("changed"), fields: fieldsOf(data) };
  }

  // A name from the book (a node, a socket) as part of a field's key.
  const part = (text) => {
    const plain = String(text).normalize("NFC").replace(/[^\p{L}\p{N} ._+-]/gu, "_").slice(0, 78);
    return /^[\p{L}\p{N}]/u.test(plain) ? plain : `x${plain}`;
  };

  J.file = { part, Refused, toText, fromText, longest: LONGEST_FIELD, isKey: (key) => KEY.test(key) };
})(globalThis.Benchlore ??= {});
