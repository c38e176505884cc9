// Job sheet: the complaint as signs. The owner's words offer them; each is there, or was looked for and is not there.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.family) { return; }
  const { el, one, once, setHidden, sync, button } = J.dom;
  const SHOWN = 5;
  const SENSES = { heard: "Heard", seen: "Seen", smelled: "Smelled", felt: "Felt", measured: "Measured" };
  const offers = one("[data-sign-offers]"), list = one("[data-signs]");

  function add(id) {
    J.record.set(`sign/${id}`, "present");
    J.dom.say(`${J.known.symptoms.get(id).title}: added`);
  }

  function offer(id) {
    return el("li", null, button([el("span", { "aria-hidden": "true" }, "+ "), J.known.symptoms.get(id).title], (event) => {
      const next = event.currentTarget.closest("li").nextElementSibling?.querySelector("button");
      add(id);
      (next ?? one("#f-complaint")).focus();
    }, "job-offer"));
  }

  function make(id) {
    const symptom = J.known.symptoms.get(id);
    const stop = symptom.stop.map(([hazard, words]) => J.dom.warning(hazard, words));
    const name = el("span", { class: "sign-name" }, J.dom.link(`symptoms/${id}.html`, symptom.title));
    const remove = button("Remove", () => {
      J.record.set(`sign/${id}`, "");
      J.record.set(`still/${id}`, "");
      J.dom.say(`${symptom.title}: removed`);
      (list.querySelector("input:checked") ?? one("#f-complaint")).focus();
    });
    remove.setAttribute("aria-label", `Remove: ${symptom.title}`);
    const still = J.fields.tick(`still/${id}`, "yes", "still there after the mend");
    still.dataset.still = "";
    return el("li", { class: "sign" }, name, el("span", { class: "sign-do" }, J.fields.choice(`sign/${id}`, [["present", "there"], ["absent", "not there"]], symptom.title), remove), el("p", { class: "sign-explained", hidden: true }, "Explained by what was found. "), still, ...stop);
  }

  function showSign(node, id, explained) {
    const done = explained.has(id), still = J.record.has(`still/${id}`, "yes");
    setHidden(one(".sign-explained", node), !done);
    setHidden(one("[data-still]", node), !done && !still);
    node.classList.toggle("sign-absent", J.record.has(`sign/${id}`, "absent"));
  }

  function showAll() {
    once(one("[data-all-signs]"), "all", () => Object.entries(SENSES).flatMap(([sense, heading]) => {
      const of = [...J.known.symptoms.values()].filter((symptom) => symptom.sense === sense);
      return of.length ? [el("h4", null, heading), el("ul", { class: "job-offers" }, of.map((symptom) => el("li", { data: { sign: symptom.id } }, button([el("span", { "aria-hidden": "true" }, "+ "), symptom.title], () => add(symptom.id), "job-offer"))))] : [];
    }));
  }

  J.record.onShow(() => {
    const chosen = J.record.under("sign").filter(([id]) => J.known.symptoms.has(id)).map(([id]) => id);
    const taken = new Set(chosen);
    const outcome = J.reckon.outcome();
    const explained = new Set(outcome.explained.map((at) => J.model.symptoms[at]));
    const text = J.record.get("complaint");
    sync(offers, text ? J.find.symptoms(text, SHOWN + taken.size).filter((id) => !taken.has(id)).slice(0, SHOWN) : [], (id) => id, offer);
    sync(list, chosen, (id) => id, make, (node, id) => showSign(node, id, explained));
    setHidden(one("[data-signs-none]"), chosen.length > 0);
    showAll();
    for (const item of J.dom.all("[data-sign]")) { setHidden(item, taken.has(item.dataset.sign)); }
  });
  J.signs = { add };
})(globalThis.Benchlore ??= {});
