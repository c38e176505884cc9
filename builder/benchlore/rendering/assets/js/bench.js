// Which family a job is open on in this tab: the job sheet says it, search brings what belongs to it forward.
(function () {
  "use strict";
  var Benchlore = (window.Benchlore = window.Benchlore || {});
  function known(id) { return /^[a-z0-9-]{1,80}$/.test(id) && id !== "none" ? id : ""; }
  var family = Benchlore.carry("bench", "benchlore:family", ["sessionStorage"], known, "none");
  Benchlore.bench = {
    family: function () { return family.get() || null; },
    // "" when no job is open, or it is on none; before the first job there is nothing to forget.
    put: function (id) { if (family.get() !== known(id) && (known(id) || family.get() !== null)) { family.set(known(id)); } }
  };
}());
