// Job sheet: the one job on the page, as a map from field to text, and who is told when it changes.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.store) { return; }
  const shows = [], aside = [];
  let job = null, base = new Map(), asked = false, erased = false;

  function fresh() {
    const bytes = crypto.getRandomValues(new Uint8Array(5));
    const tail = [...bytes].map((byte) => byte.toString(36).padStart(2, "0")).join("");
    const now = new Date();
    return { id: `j${now.getTime().toString(36)}${tail}`, rev: 0, made: now.toISOString(), changed: now.toISOString(), fields: new Map() };
  }

  function show() {
    if (asked) { return; }
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      for (const call of shows) { call(job); }
    });
  }

  const get = (key) => job.fields.get(key) ?? "";
  const has = (key, value) => job.fields.get(key) === value;
  // Fields under a name: pairs of what follows `prefix/` and the text, in the order in which they were first written.
  function under(prefix) {
    const start = `${prefix}/`;
    return [...job.fields].filter(([key]) => key.startsWith(start)).map(([key, value]) => [key.slice(start.length), value]);
  }

  // What another tab wrote since we last knew comes in field by field; where both wrote, ours stands and theirs is laid aside.
  function merge(theirs) {
    const taken = [];
    for (const key of new Set([...base.keys(), ...theirs.fields.keys()])) {
      const was = base.get(key) ?? "", now = theirs.fields.get(key) ?? "", mine = get(key);
      if (now === was || now === mine) { continue; }
      if (mine === was) {
        if (now) { job.fields.set(key, now); } else { job.fields.delete(key); }
        taken.push(key);
      } else if (now) {
        aside.push([key, now]);
      }
    }
    job.rev = Math.max(job.rev, theirs.rev);
    base = new Map(theirs.fields);
    return taken;
  }

  function keep() {
    const stored = erased ? null : J.store.load(job.id);
    const taken = stored && stored.rev > job.rev ? merge(stored) : [];
    erased = false;
    job.rev += 1;
    job.changed = new Date().toISOString();
    J.store.keep(job);
    base = new Map(job.fields);
    if (taken.length) { J.fields.fill(taken); }
  }

  function set(key, value) {
    if (!J.file.isKey(key)) { return; }
    const text = String(value).slice(0, J.file.longest);
    if (get(key) === text) { return; }
    if (text) { job.fields.set(key, text); } else { job.fields.delete(key); }
    keep();
    show();
  }

  function setAll(pairs) {
    for (const [key, value] of pairs) { if (value) { job.fields.set(key, value); } else { job.fields.delete(key); } }
    keep();
    J.fields.fill();
    show();
  }

  // Another job onto the page.
  function open(next) {
    job = next;
    base = new Map(job.fields);
    aside.length = 0;
    erased = false;
    J.store.choose(job.id);
    const address = new URL(location.href);
    address.search = `?job=${job.id}`;
    history.replaceState(null, "", address);
    J.fields.fill();
    show();
  }

  function heardFromOutside(id, theirs) {
    if (!job || id !== job.id) { J.jobs?.refresh(); return; }
    if (theirs === null) {
      erased = true;
      J.jobs.notice("erased-elsewhere", "This job was erased in another tab. It still stands here; change anything and it is kept again.");
      return;
    }
    if (theirs.rev <= job.rev) { return; }
    J.fields.fill(merge(theirs));
    J.jobs.notice("second-tab", "This job is open in another tab too. Both are kept in step, field by field.", "note");
    show();
  }

  J.record = {
    get, has, under, set, setAll, open, fresh, show, heardFromOutside, aside,
    get job() { return job; },
    onShow: (call) => { shows.push(call); },
  };
})(globalThis.Benchlore ??= {});
