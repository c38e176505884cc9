// Job sheet: which job is on the page when it opens: the one in the address, a new one for a family or sign in it, or the last.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.print) { return; }

  // Fields for ?family=ID&symptom=ID, as other pages link here.
  function asked(query) {
    const family = query.get("family"), fields = [];
    if (J.known.families.has(family)) { fields.push(["family", family], ["family-text", J.known.families.get(family).title]); }
    for (const id of query.getAll("symptom")) { if (J.known.symptoms.has(id)) { fields.push([`sign/${id}`, "present"]); } }
    return fields;
  }

  function begin() {
    const query = new URLSearchParams(location.search), fields = asked(query);
    const wanted = query.get("job") ?? (fields.length ? null : J.store.current());
    const job = wanted ? J.store.load(wanted) : null;
    if (job) { J.record.open(job); } else { J.jobs.fresh(fields); }
    J.jobs.refresh();
    J.store.listen(J.record.heardFromOutside);
    // A tab that slept has heard nothing.
    for (const event of ["visibilitychange", "pageshow"]) { addEventListener(event, catchUp, true); }
    document.querySelector("[data-job]").dataset.job = "ready";
  }

  function catchUp() {
    const mine = J.record.job, kept = mine && !document.hidden ? J.store.load(mine.id) : null;
    if (kept && kept.rev > mine.rev) { J.record.heardFromOutside(mine.id, kept); }
  }

  J.store.start().then(begin);
})(globalThis.Benchlore ??= {});
