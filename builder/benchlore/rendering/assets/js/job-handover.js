// Job sheet: the page for the owner in plain words, and the finding for the shop.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.yaml) { return; }
  const { el, one, once, sync, setText, button } = J.dom;
  const get = (key) => J.record.get(key).trim();
  const today = () => { const now = new Date(); return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`; };
  const sentence = (text) => (text && !/[.!?]$/.test(text) ? `${text}.` : text);

  // ---- in words, for the owner
  function foundWords() {
    if (get("found-words")) { return get("found-words").split(/\n+/); }
    const told = J.work.foundIds().map((id) => {
      const fault = J.known.fault(id);
      return `${fault.title}. ${fault.summary}${J.work.mended(id) ? "" : " This was left as it is."}`;
    });
    if (told.length) { return told; }
    return J.record.under("check").length ? ["Nothing was found to be wrong."] : [];
  }

  function doneWords() {
    const parts = J.work.partRows().filter(({ what }) => what.trim()).map(({ what, count }) => `${count.trim() || "1"} × ${what.trim()}`);
    return [
      ...get("work").split(/\n+/),
      ...J.work.changes().map((change) => `${sentence(change.change)} ${sentence(change.effect)}`),
      ...(parts.length ? [`Parts fitted: ${parts.join("; ")}.`] : []),
    ].filter((words) => words.trim());
  }

  function idleWords(when) {
    const told = J.idle.results(when).filter(({ share }) => share !== null);
    return told.map(({ seat, text }) => (seat === "all" ? `hotter side or all ${text}` : `${seat} ${text}`)).join(", ");
  }

  function measuredRows() {
    const chart = J.measured.chart(), power = J.measured.powerNow();
    const nodes = chart ? chart.rows.filter(({ read }) => read !== null).map(({ node, read }) => `${node} ${J.measured.volts(read)}`).join(", ") : get("node-notes");
    const unit = (key, name) => { const value = J.fields.figure(key, name); return value === null ? "" : B.quantity.shown(value, name, 3); };
    return [
      ["Mains on the day", unit("mains", "V")],
      ["Supply", nodes],
      ["Idle share as it came", idleWords("before")],
      ["Idle share after the work", idleWords("after")],
      ["Protective earth", unit("earth-ohms", "ohm")],
      ["Mains insulation", unit("insulation", "Mohm")],
      ["Noise, controls down", unit("noise", "mV")],
      ["Power before it clips", power?.text ?? ""],
    ].filter(([, words]) => words);
  }

  const paragraphs = (words) => words.map((text) => el("p", null, text));
  const section = (heading, words) => (words.length ? [el("h4", null, heading), ...paragraphs(words)] : []);
  const signsWords = () => J.record.under("sign").filter(([id, how]) => how === "present" && J.known.symptoms.has(id)).map(([id]) => J.known.symptoms.get(id).title);

  function ownerPage() {
    const family = J.known.families.get(get("family"));
    const signs = signsWords();
    const asked = [get("asked"), get("complaint") ? `\u201c${get("complaint")}\u201d` : "", !get("complaint") && signs.length ? `${signs.join("; ")}.` : ""].filter(Boolean);
    const rows = measuredRows();
    const head = [["Amplifier", family?.title ?? get("family-text")], ["Serial", get("serial")], ["Ticket", get("ticket")], ["Owner", [get("owner-name"), get("owner-contact")].filter(Boolean).join(", ")], ["Came in", get("came")], ["Finished", get("date")]];
    const compared = get("compare-facts") || get("compare-impressions");
    const now = J.closing.readiness();
    return [
      el("p", { class: "owner-shop" }, J.book.shop.title || "Job"),
      el("dl", { class: "facts facts-strip" }, head.filter(([, words]) => words).map(([label, words]) => el("div", { class: "fact" }, el("dt", null, label), el("dd", null, words)))),
      now.ready ? null : el("p", { class: "owner-open" }, el("b", null, "Not ready to hand over: "), "safety items of the closing-up list are open."),
      ...section("What was asked", asked),
      ...section("What was found", foundWords()),
      ...section("What was done", doneWords()),
      ...(rows.length ? [el("h4", null, "What was measured"), el("dl", { class: "owner-rows" }, rows.map(([label, words]) => el("div", null, el("dt", null, label), el("dd", null, words))))] : []),
      ...(compared ? [el("h4", null, `Compared with ${get("compare-what") || "something known to be good"}`),
        get("compare-facts") ? el("p", null, el("b", null, "Measured: "), get("compare-facts")) : null,
        get("compare-impressions") ? el("p", null, el("b", null, "Heard, as an impression: "), get("compare-impressions")) : null] : []),
      ...section("What we advise next", get("advised").split(/\n+/).filter(Boolean)),
      ...section("When to look at it again", get("recheck").split(/\n+/).filter(Boolean)),
      el("p", { class: "owner-mind" }, "A valve amplifier keeps dangerous voltage inside after it is unplugged. Please do not open it."),
    ].filter(Boolean);
  }

  // ---- what could be advised: needs that were not agreed to, things to look at again
  const KIN = { speaker: /speaker/i, transformer: /transformer/i, cabinet: /handle|feet|foot|baffle|panel|corner/i, jacks: /jack|pot|nut/i, board: /board|pillar/i };
  function advice() {
    const family = J.known.family();
    if (!family) { return []; }
    const has = (key, words) => J.record.get(key).includes(words);
    const needs = family.needs.filter((words, n) => !J.record.has(`need/${n + 1}`, "yes")).map((words) => ["advised", words]);
    const kin = [...J.work.touched().keys()].map((what) => KIN[what]).filter(Boolean);
    const again = family.hardware.filter(({ what, key }) => kin.some((words) => words.test(`${what} ${key}`))).map(({ what, recheck }) => ["recheck", `${what}: ${recheck}`]);
    return [...needs, ...again].filter(([key, words]) => !has(key, words));
  }

  function showAdvice() {
    const box = one("[data-advice]"), rows = advice();
    once(box, rows.length ? "some" : "none", () => (rows.length ? [el("p", { class: "field-help" }, "Offered by the book:"), el("ul", { class: "job-offers" })] : []));
    const list = one("ul", box);
    if (list) {
      sync(list, rows, (row) => row.join(), ([key, words]) => el("li", null, button([el("span", { "aria-hidden": "true" }, "+ "), words], () => {
        J.record.setAll([[key, [J.record.get(key), words].filter(Boolean).join("\n")]]);
        J.dom.say(key === "advised" ? "Put under advised next." : "Put under recheck.");
        one(`#f-${key}`).focus();
      }, "job-offer")));
    }
  }

  // ---- the finding
  function title(family, faults) {
    const about = faults.length ? J.known.fault(faults[0]).title : get("asked") ? get("asked") : "looked over";
    const rest = faults.length > 1 ? ` and ${faults.length - 1} more` : "";
    return J.yaml.oneLine(`${family.title}, ${about.charAt(0).toLowerCase()}${about.slice(1, 70)}${rest}, ${get("date") || today()}`, 120);
  }

  function finding() {
    const family = J.known.families.get(get("family")), missing = [];
    if (!family) { return { missing: ["a family of this book: draft one first, then the finding can point at it"], refused: [], text: "", id: "" }; }
    const minutes = J.fields.figure("minutes", "1"), faults = J.work.foundIds().filter((id) => Object.hasOwn(J.texts.faults, id));
    const signs = (how) => J.record.under("sign").filter(([id, value]) => value === how && J.known.symptoms.has(id)).map(([id]) => id);
    const date = get("date") || today();
    const data = {
      title: get("finding-title") || title(family, faults), family: family.id, revision: get("revision"),
      symptoms: signs("present"), absent: signs("absent"), faults, request: get("asked"),
      fix: get("work") || [...J.work.changes().map(({ change }) => sentence(change))].join(" "),
      checks: J.record.under("check").filter(([id]) => J.known.checkAt.has(id)),
      minutes: minutes === null ? 0 : Math.round(minutes), parts: J.work.partsCost(), technician: get("technician"), date, learned: get("learned"),
    };
    if (!J.yaml.clean(data.fix)) { missing.push("what was done"); }
    if (data.minutes < 1 || data.minutes > 6000) { missing.push("the minutes at the bench"); }
    if (!/^[A-Za-z0-9]{1,6}$/.test(data.technician)) { missing.push("the technician’s initials (one to six letters)"); }
    if (!/^\d{4}-\d{2}-\d{2}$/.test(date)) { missing.push("the day it was finished"); }
    if (!data.symptoms.length && !data.faults.length && !data.request) { missing.push("a sign, a fault or a request"); }
    return { missing, refused: ownersData(data), text: missing.length ? "" : J.yaml.finding(data), id: B.naming.finding(date, family.id, data.technician, (id) => J.book.taken.includes(id)) };
  }

  // Owner's data in the words that would be shared: the rules of the audit, and the name that stands on this very sheet.
  function ownersData(data) {
    const told = [], rules = J.book.private.map((pattern) => new RegExp(pattern));
    const name = get("owner-name"), contact = get("owner-contact");
    const names = name ? [name, ...name.split(/\s+/).filter((word) => word.length > 3)] : [];
    for (const [label, text] of [["the title", data.title], ["what was asked for", data.request], ["what was done", data.fix], ["what the next technician should know", data.learned]]) {
      const holds = rules.some((rule) => rule.test(text)) || (contact.length > 4 && text.includes(contact)) || names.some((word) => new RegExp(`(?<!\\p{L})${word.replace(/[^\p{L}\p{N} ]/gu, "\\$&")}(?!\\p{L})`, "u").test(text));
      if (holds) { told.push(label); }
    }
    return told;
  }

  function showFinding() {
    const now = finding(), said = [];
    if (now.missing.length) { said.push({ mark: "note", words: `Still missing for the finding: ${J.dom.andList(now.missing)}.` }); }
    if (now.refused.length) { said.push({ mark: "stop", words: `The finding would hold the owner’s data: take it out of ${J.dom.andList(now.refused)}.` }); }
    if (!said.length) { said.push({ mark: "good", words: `Ready for the shelf, as findings/${now.id}.yaml.` }); }
    sync(one("[data-finding-said]"), said, ({ words }) => words, ({ mark, words }) => J.dom.verdict(mark, words));
    const good = !now.missing.length && !now.refused.length;
    setText(one("[data-finding]"), good ? now.text : "");
    for (const name of ["finding-save", "finding-copy"]) { one(`[data-do="${name}"]`).disabled = !good; }
    one(".job-yaml").hidden = !good;
  }

  function save() {
    const now = finding();
    J.dom.download(`${now.id}.yaml`, now.text, "application/yaml");
    J.dom.say(`Saved as ${now.id}.yaml.`);
  }

  async function copy() {
    try {
      await navigator.clipboard.writeText(finding().text);
      J.dom.say("Copied.");
    } catch {
      getSelection().selectAllChildren(one("[data-finding]"));
      J.dom.say("The browser does not let the page copy: the words are marked, copy them by hand.");
    }
  }

  J.handover = { finding, save, copy, today };
  J.record.onShow(() => {
    one("[data-owner-page]").replaceChildren(...ownerPage());
    showAdvice();
    showFinding();
  });
})(globalThis.Benchlore ??= {});
