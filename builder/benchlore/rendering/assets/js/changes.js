// What changed: narrows the page to the days since one, to a technician, to a family. The choice stands in the address
// (changes.html?since=2026-01-01&by=RK&family=ID), so that it can be kept as a bookmark.
(function () {
  "use strict";
  const host = document.querySelector("[data-changes]");
  if (!host) { return; }
  const days = Array.from(host.querySelectorAll("[data-day]"));
  if (!days.length) { return; }

  function make(name, attributes, ...parts) {
    const node = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) { node.setAttribute(key, value); }
    node.append(...parts);
    return node;
  }

  function choice(name, words, input) {
    input.id = `changes-${name}`;
    return make("p", {}, make("label", { for: input.id }, words), input);
  }

  function chooser(place) {
    const options = Array.from(document.querySelectorAll(`#${place} [data-way]`), (link) => make("option", { value: link.dataset.way }, link.textContent));
    return make("select", {}, make("option", { value: "" }, "any"), ...options);
  }

  const fields = { since: make("input", { type: "date" }), by: chooser("technicians"), family: chooser("families") };
  const said = make("p", { role: "status", class: "changes-by" });
  host.before(make("div", { class: "changes-choose" }, choice("since", "Since", fields.since), choice("by", "Technician", fields.by), choice("family", "Family", fields.family)), said);

  const asked = new URLSearchParams(location.search);
  for (const [name, field] of Object.entries(fields)) { field.value = (asked.get(name) || "").slice(0, 60); }

  function show() {
    const wanted = Object.fromEntries(Object.entries(fields).map(([name, field]) => [name, field.value]));
    let count = 0;
    for (const day of days) {
      let here = 0;
      for (const line of day.querySelectorAll("li")) {
        line.hidden = (wanted.by && !line.dataset.by.split("|").includes(wanted.by)) ||
          (wanted.family && !line.dataset.families.split(" ").includes(wanted.family)) || day.dataset.day < wanted.since;
        here += !line.hidden;
      }
      day.hidden = here === 0;
      count += here;
    }
    said.textContent = count === 1 ? "1 change." : `${count} changes.`;
    return wanted;
  }

  function change() {
    const address = new URL(location.href);
    for (const [name, value] of Object.entries(show())) {
      if (value) { address.searchParams.set(name, value); } else { address.searchParams.delete(name); }
    }
    try { history.replaceState(history.state, "", address.href); } catch (refused) { /* the address stays as it is */ }
  }

  for (const field of Object.values(fields)) { field.addEventListener("change", change); }
  show();
})();
