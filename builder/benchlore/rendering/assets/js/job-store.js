// Job sheet: where jobs are kept on this machine. Every change goes at once to localStorage, which other tabs hear, and to
// IndexedDB written through to the disk, because a killed browser loses the last seconds of localStorage (measured in Chromium).
// Either may be refused or full; then the other serves, and when both fail it is said.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.file) { return; }
  const prefix = `benchlore:${J.book.site}:`;
  const JOB = `${prefix}job:`, BIN = `${prefix}bin:`, CURRENT = `${prefix}current`;
  const BIN_HOLDS = 5, WAIT = 800;
  const beside = new Map(); // jobs that only the second store holds
  let database = null;

  // ---- localStorage: every call may throw
  function get(key) { try { return localStorage.getItem(key); } catch { return null; } }
  function put(key, text) { try { localStorage.setItem(key, text); return true; } catch { return false; } }
  function drop(key) { try { localStorage.removeItem(key); } catch { /* then it was not there */ } }
  function keys(start) {
    const found = [];
    try {
      for (let n = 0; n < localStorage.length; n += 1) {
        const key = localStorage.key(n);
        if (key.startsWith(start)) { found.push(key); }
      }
    } catch { /* refused: nothing is there */ }
    return found;
  }

  function parse(text) {
    if (text === null || text === undefined) { return null; }
    try { return J.file.fromText(text); } catch { return null; }
  }

  // ---- IndexedDB
  function opened() {
    return new Promise((done) => {
      let asked;
      try { asked = indexedDB.open(`benchlore:${J.book.site}`, 1); } catch { done(null); return; }
      asked.onupgradeneeded = () => { for (const name of ["jobs", "heads", "meta"]) { asked.result.createObjectStore(name); } };
      asked.onerror = () => done(null);
      asked.onblocked = () => done(null);
      asked.onsuccess = () => { asked.result.onversionchange = () => { asked.result.close(); database = null; }; done(asked.result); };
    });
  }

  // Run `work(transaction)`, and promise what it returns once the disk has it; null where that failed.
  function inDatabase(mode, work) {
    return new Promise((done) => {
      if (!database) { done(null); return; }
      try {
        const transaction = database.transaction(["jobs", "heads", "meta"], mode, { durability: "strict" });
        const result = work(transaction);
        transaction.oncomplete = () => done(result ?? true);
        transaction.onerror = transaction.onabort = () => done(null);
      } catch {
        done(null);
      }
    });
  }

  const asked = (request, take) => { request.onsuccess = () => take(request.result); };

  // Newer jobs of the second store, brought up into the first.
  async function recover() {
    const heads = new Map();
    await inDatabase("readonly", (t) => {
      const store = t.objectStore("heads");
      asked(store.getAllKeys(), (ids) => asked(store.getAll(), (revs) => ids.forEach((id, n) => heads.set(id, revs[n]))));
    });
    const wanted = [...heads].filter(([id, rev]) => (parse(get(JOB + id))?.rev ?? -1) < rev && get(BIN + id) === null).map(([id]) => id);
    await inDatabase("readonly", (t) => {
      for (const id of wanted) {
        asked(t.objectStore("jobs").get(id), (text) => {
          const job = typeof text === "string" ? parse(text) : null;
          if (job && job.id === id && !put(JOB + id, text)) { beside.set(id, text); }
        });
      }
      asked(t.objectStore("meta").get("current"), (id) => { if (typeof id === "string" && wanted.includes(id)) { put(CURRENT, id); } });
    });
  }

  async function start() {
    const late = new Promise((done) => { setTimeout(() => done(null), WAIT); });
    const opening = opened().then((found) => { database = found; return found ? recover() : null; });
    await Promise.race([opening, late]);
  }

  // ---- jobs
  const textOf = (id) => beside.get(id) ?? get(JOB + id);
  const load = (id) => parse(textOf(id));
  const ids = () => [...new Set([...keys(JOB).map((key) => key.slice(JOB.length)), ...beside.keys()])];
  const list = () => ids().map(load).filter(Boolean).sort((a, b) => (a.changed < b.changed ? 1 : -1));
  const binned = () => keys(BIN).map((key) => parse(get(key))).filter(Boolean).sort((a, b) => (a.changed < b.changed ? 1 : -1));

  let waiting = null, busy = false, first = true;
  let heard = () => {};
  function report(second) { heard({ first, second }); }

  async function mirror() {
    if (busy) { return; }
    busy = true;
    while (waiting) {
      const [id, rev, text] = waiting;
      waiting = null;
      const kept = await inDatabase("readwrite", (t) => {
        t.objectStore("jobs").put(text, id);
        t.objectStore("heads").put(rev, id);
        t.objectStore("meta").put(id, "current");
      });
      if (kept && !first) { beside.set(id, text); }
      report(Boolean(kept));
    }
    busy = false;
  }

  // Keep a job: at once in the first store, on the disk in the second.
  function keep(job) {
    const text = J.file.toText(job);
    first = put(JOB + job.id, text);
    if (first) { beside.delete(job.id); put(CURRENT, job.id); report(null); }
    waiting = [job.id, job.rev, text];
    mirror();
  }

  function forget(id) {
    drop(JOB + id);
    beside.delete(id);
    inDatabase("readwrite", (t) => { t.objectStore("jobs").delete(id); t.objectStore("heads").delete(id); });
  }

  // Take a job out of the list; the last few can be brought back.
  function erase(id) {
    const text = textOf(id);
    if (waiting?.[0] === id) { waiting = null; }
    if (text) { put(BIN + id, text); }
    forget(id);
    const old = binned().slice(BIN_HOLDS);
    for (const job of old) { drop(BIN + job.id); }
  }

  function bringBack(id) {
    const job = parse(get(BIN + id));
    if (job) { keep(job); drop(BIN + id); }
    return job;
  }

  // Another tab changed or erased a job: call(id, job or null).
  function listen(call) {
    window.addEventListener("storage", (event) => {
      if (event.key && event.key.startsWith(JOB)) { call(event.key.slice(JOB.length), parse(event.newValue)); }
    });
  }

  J.store = {
    start, load, list, binned, ids, keep, erase, bringBack, listen,
    current: () => get(CURRENT),
    choose: (id) => { put(CURRENT, id); inDatabase("readwrite", (t) => { t.objectStore("meta").put(id, "current"); }); },
    onKept: (call) => { heard = call; },
  };
})(globalThis.Benchlore ??= {});
