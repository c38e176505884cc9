// Job sheet: the checks, one at a time in the order of least expected minutes; each result moves the suspects at once.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.bench) { return; }
  const { el, one, once, sync, setText, setHidden, button, link, percent } = J.dom;
  const LATER = 7;
  const RESULTS = { pass: "passed", fail: "failed" };
  let put = ""; // a check that was called forward by hand
  const left = (id) => J.record.has(`undone/${id}`, "yes"); // not done, and not asked for again until it is called forward

  const doneIds = () => J.record.under("check").map(([id]) => id);
  const inside = (check) => check.setup !== "outside";
  const gated = (check) => inside(check) && J.safe.open().length > 0;
  // Was power on for the last check that was done? Then the supply is charged again.
  const charged = () => { const ids = doneIds(); return ids.length > 0 && J.known.check(ids[ids.length - 1]).power === "on"; };

  function record(id, result) {
    J.record.setAll([[`check/${id}`, result], [`undone/${id}`, ""]]);
    put = "";
    J.dom.say(`Check ${RESULTS[result]}.${J.reckon.outcome().settled ? " All is explained." : ""}`);
    focusNext();
  }

  function leave(id) {
    put = "";
    J.record.set(`undone/${id}`, "yes");
    J.dom.say("Not done, left for now.");
    focusNext();
  }

  const focusNext = () => requestAnimationFrame(() => requestAnimationFrame(() => (one("[data-check-title]") ?? one("#checks-heading")).focus()));

  function speaksTo(check, outcome) {
    const row = J.model.checks[J.known.checkAt.get(check.id)];
    const shares = new Map(outcome.candidates.map((at, k) => [at, outcome.probability[k]]));
    return row[5].filter(([at]) => (shares.get(at) ?? 0) > 0.005).sort((a, b) => shares.get(b[0]) - shares.get(a[0])).slice(0, 4)
      .map(([at]) => [J.model.faults[at], shares.get(at)]);
  }

  const SETUP = { outside: "from the outside", "chassis out": "chassis out", live: "running live" };
  const POWER = { on: "power on", off: "power off", either: "power on or off" };

  function card(check) {
    const outcome = J.reckon.outcome();
    const closed = gated(check);
    const title = el("p", { class: "check-do", tabindex: "-1", data: { checkTitle: "" } }, check.does);
    const spoken = speaksTo(check, outcome);
    const outcomes = el("div", { class: "outcomes" },
      el("p", { class: "outcome outcome-pass" }, el("span", { class: "outcome-word" }, "Pass"), check.passes),
      el("p", { class: "outcome outcome-fail" }, el("span", { class: "outcome-word" }, "Fail"), check.fails));
    const buttons = el("div", { class: "check-buttons" },
      button("Pass", () => record(check.id, "pass"), "check-button check-pass"),
      button("Fail", () => record(check.id, "fail"), "check-button check-fail"),
      button("Not done", () => leave(check.id), "check-button"));
    if (closed) { for (const item of buttons.querySelectorAll(".check-pass, .check-fail")) { item.disabled = true; } }
    return el("div", { class: `check job-check${check.power === "on" ? " check-live" : ""}`, role: "group", "aria-label": "Next check" },
      title,
      el("p", { class: "check-line" }, [`${check.minutes} min`, SETUP[check.setup], POWER[check.power], ...check.tools].join(" · ")),
      check.caution ? J.dom.warning(check.power === "on" ? "power on" : "mind", check.caution) : null,
      charged() && check.power !== "on" && inside(check) ? J.dom.warning("stored charge", "Power was on for the last check: the supply is full again. Make safe and prove dead before a hand goes in.") : null,
      check.how ? el("details", { class: "job-how" }, el("summary", null, "How to do it"), el("p", null, check.how)) : null,
      outcomes,
      closed ? el("p", { class: "job-gate", data: { mark: "stop" } }, "Making safe is not done: ", link("#safe-heading", "tick its steps, or leave one out with a reason"), ".") : null,
      buttons,
      J.fields.make(`check-note/${check.id}`, "Note", { placeholder: "what was read or seen" }),
      el("p", { class: "check-trust" }, "Speaks to ", spoken.length ? spoken.flatMap(([id, share], n) => [n ? ", " : "", link(J.known.faultUrl(id), J.known.fault(id).title), ` ${percent(share)}`]) : "nothing likely"));
  }

  function doneRow(id) {
    const check = J.known.check(id);
    return el("li", { class: "job-check-done" },
      el("span", { class: "job-check-words" }, link(J.known.checkUrl(id), check.does), el("span", { class: "job-check-fault" })),
      J.fields.choice(`check/${id}`, [["pass", "pass"], ["fail", "fail"]], check.does),
      J.fields.make(`check-note/${id}`, `Note on: ${check.does}`, { quiet: true, placeholder: "note" }),
      el("span", { class: "job-check-this" }, button("Found: this is it", () => J.work.found(check.fault))));
  }

  function showDone(node, id) {
    const check = J.known.check(id);
    const failed = J.record.has(`check/${id}`, "fail"), found = J.record.get(`fault/${check.fault}`) !== "";
    setHidden(one(".job-check-this", node), !failed || found || !J.known.places.has(check.fault));
    const words = failed ? `${found ? "found" : "points to"}: ${J.known.fault(check.fault).title}` : "";
    setText(one(".job-check-fault", node), words);
  }

  function row({ at, gain }) {
    const check = J.known.check(J.model.checks[at][0]);
    const words = `${check.minutes} min, ${SETUP[check.setup]}${check.power === "on" ? ", power on" : ""}${left(check.id) ? "; not done, left for now" : ""}; finds it with ${percent(gain)}`;
    return el("li", null, button(check.does, () => {
      put = check.id;
      J.record.set(`undone/${check.id}`, "");
      J.record.show();
      focusNext();
    }, "job-offer"), el("span", { class: "under" }, words));
  }

  // May this check be called forward? Not before what must precede it.
  const ready = (at, open) => J.model.checks[at][6].every((before) => !open.has(before));

  function pick(checks) {
    const open = new Set(checks.map(({ at }) => at));
    const idOf = ({ at }) => J.model.checks[at][0];
    const free = checks.filter(({ at }) => ready(at, open));
    return checks.find((one_) => idOf(one_) === put && ready(one_.at, open)) ?? free.find((one_) => !left(idOf(one_))) ?? null;
  }

  J.record.onShow(() => {
    const outcome = J.reckon.outcome();
    const checks = outcome.settled ? [] : outcome.checks;
    const next = outcome.complaint ? pick(checks) : null;
    const id = next ? J.model.checks[next.at][0] : "";
    sync(one("[data-checks-done]"), doneIds(), (one_) => one_, doneRow, showDone);
    setText(one("[data-checks-said]"), saying(outcome, next));
    const stamp = next ? `${id}|${gated(J.known.check(id))}|${charged()}|${speaksTo(J.known.check(id), outcome).map(([f, s]) => f + percent(s)).join()}` : "none";
    const place = one("[data-check-next]");
    const typing = place.contains(document.activeElement) && document.activeElement.tagName === "INPUT";
    if (!(typing && place.dataset.stamp?.startsWith(`${id}|`))) { once(place, stamp, () => (next ? card(J.known.check(id)) : [])); }
    const rest = outcome.complaint ? checks.filter((one_) => one_ !== next).slice(0, LATER) : [];
    sync(one("[data-checks-rest]"), rest, ({ at, gain }) => `${at}|${percent(gain)}|${left(J.model.checks[at][0])}`, row);
    setHidden(one("[data-checks-later]"), rest.length === 0);
  });

  function saying(outcome, next) {
    if (outcome.settled) { return "All that was complained of is explained. If a sign is still there, say so beside it, and the checks go on."; }
    if (!outcome.complaint) { return "No complaint yet. Add a sign in the intake and the checks follow, cheapest to the fault first."; }
    const again = outcome.seen.found.length ? "What is still unexplained: " : "";
    return next ? `${again}about ${Math.round(outcome.minutes)} minutes until it is found, by this order.` : "No check is left that speaks to a suspect. Look at the signs again, or at something not in this book.";
  }
})(globalThis.Benchlore ??= {});
