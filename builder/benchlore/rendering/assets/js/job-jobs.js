// Job sheet: several jobs on one machine; new, open, erase and bring back, save to a file, load from one.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.handover) { return; }
  const { el, one, all, sync, setText, setHidden, button, count } = J.dom;
  const notices = new Map();
  const HOUR = { hour: "2-digit", minute: "2-digit" };
  const listBox = one("#job-list"), file = one("#job-file");
  let kept = { first: true, second: null };

  // ---- strips of words above the sheet
  function notice(key, words, mark, more) {
    notices.set(key, { key, words, mark: mark ?? "mind", more });
    showNotices();
  }
  function hush(key) { if (notices.delete(key)) { showNotices(); } }

  function showNotices() {
    sync(one("[data-notices]"), [...notices.values()], ({ key, words }) => `${key}|${words}`, ({ key, words, mark, more }) => el("div", { class: "job-strip", role: mark === "stop" ? "alert" : "status", data: { mark } },
      el("p", null, words), el("span", { class: "job-strip-do" }, more ? button(more[0], more[1]) : null, button("Close", () => hush(key)))));
  }

  // ---- names
  function label(job) {
    const get = (key) => job.fields.get(key) ?? "";
    const family = J.known.families.get(get("family"))?.title ?? get("family-text");
    const sign = [...job.fields].find(([key, value]) => key.startsWith("sign/") && value === "present")?.[0].slice(5);
    const about = sign && J.known.symptoms.has(sign) ? J.known.symptoms.get(sign).title : get("asked") || get("complaint");
    return [get("ticket") && `Ticket ${get("ticket")}`, family || "no family yet", about.slice(0, 70)].filter(Boolean).join(" · ");
  }

  const slug = (text) => text.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 40);

  // ---- the list
  function rows() {
    const here = J.record.job?.id;
    return [...J.store.list().map((job) => ({ job, gone: false, here: job.id === here })), ...J.store.binned().map((job) => ({ job, gone: true, here: false }))];
  }

  function row({ job, gone, here }) {
    const when = new Date(job.changed);
    const words = [el("b", null, label(job)), el("span", { class: "under" }, `${gone ? "erased; last " : ""}changed ${when.toLocaleDateString()} ${when.toLocaleTimeString([], HOUR)}`)];
    if (gone) { return el("li", { class: "job-row job-row-gone" }, el("span", null, words), button("Bring it back", () => bringBack(job.id))); }
    return el("li", { class: "job-row" }, button(words, () => { toggle(false); if (!here) { openJob(job.id); } }, `job-open${here ? " job-open-here" : ""}`));
  }

  function refresh() {
    const jobs = J.store.ids().length;
    setText(one("[data-job-count]"), jobs ? `(${jobs})` : "");
    if (listBox.hidden) { return; }
    const all_ = rows();
    listBox.replaceChildren(el("h2", { class: "job-list-heading", tabindex: "-1" }, "Jobs on this machine"), all_.length ? el("ul", null, all_.map(row)) : el("p", null, "None yet: a job is kept from its first word on."));
  }

  function toggle(open) {
    listBox.hidden = !open;
    one('[data-do="list"]').setAttribute("aria-expanded", String(open));
    refresh();
    if (open) { one(".job-list-heading", listBox).focus(); }
  }

  // ---- acts
  function openJob(id) {
    const job = J.store.load(id);
    if (!job) { notice("broken", "That job can no longer be read on this machine.", "stop"); return; }
    J.record.open(job);
    refresh();
    J.dom.say(`Opened: ${label(job)}`);
    one("#title").scrollIntoView({ block: "start" });
  }

  function fresh(fields) {
    const job = J.record.fresh();
    J.record.open(job);
    if (fields?.length) { J.record.setAll(fields); }
    refresh();
  }

  function erase() {
    const job = J.record.job, name = label(job);
    J.store.erase(job.id);
    fresh();
    notice("erased", `Erased: ${name}.`, "mind", ["Undo", () => bringBack(job.id)]);
    all("[data-notices] button")[0]?.focus();
  }

  function bringBack(id) {
    const job = J.store.bringBack(id);
    hush("erased");
    if (job) { J.record.open(job); J.dom.say(`Brought back: ${label(job)}`); }
    refresh();
  }

  function save() {
    const job = J.record.job;
    const name = ["job", slug(job.fields.get("ticket") ?? ""), slug(job.fields.get("family") ?? ""), J.handover.today()].filter(Boolean).join("-");
    J.dom.download(`${name}.json`, `${J.file.toText(job, 1)}\n`, "application/json");
    J.dom.say(`Saved as ${name}.json.`);
  }

  async function load(chosen) {
    let job;
    try {
      if (chosen.size > 4000000) { throw new J.file.Refused("it is larger than any job file"); }
      job = J.file.fromText(await chosen.text());
    } catch (error) {
      const why = error instanceof J.file.Refused ? error.message : "the browser could not read it";
      notice("refused", `${chosen.name.slice(0, 80)} was not opened: ${why}. The job on this page stays as it is.`, "stop");
      return;
    }
    const mine = J.store.load(job.id);
    const same = mine && J.file.toText(mine) === J.file.toText({ ...job, rev: mine.rev, made: mine.made, changed: mine.changed });
    if (mine && !same) {
      job.id = J.record.fresh().id;
      notice("copy", "This machine already has that job with other words in it. The file was opened as a second one; both stand in the list.", "note");
    }
    if (!same) { J.store.keep(job); }
    J.record.open(same ? mine : job);
    refresh();
    J.dom.say(`Opened from the file: ${label(J.record.job)}`);
  }

  // ---- is it kept?
  const quiet = () => !kept.first && kept.second !== true;
  J.store.onKept(({ first, second }) => {
    kept = { first, second: second ?? kept.second };
    const place = one("[data-kept]");
    if (quiet() && second === null) { return; } // the second store has not answered yet
    if (quiet()) {
      setText(place, "Not kept: this browser’s store is full or refused.");
      place.dataset.mark = "stop";
      notice("not-kept", "Nothing typed from here on is kept by this browser: its store is full or refused. Save the job to a file before you leave the page.", "stop", ["Save to a file", save]);
    } else {
      setText(place, `Kept on this machine, ${new Date().toLocaleTimeString([], HOUR)}${kept.first ? "" : " (in its second store; the first is full or refused)"}`);
      place.dataset.mark = "good";
      hush("not-kept");
    }
  });
  window.addEventListener("beforeunload", (event) => { if (quiet() && J.record.job?.fields.size) { event.preventDefault(); } });

  const ACTS = {
    new: () => { toggle(false); fresh(); J.dom.say("A new job."); one("#f-ticket").focus(); },
    list: () => toggle(listBox.hidden),
    save, erase,
    load: () => file.click(),
    print: () => J.print.sheet(),
    "print-owner": () => J.print.owner(),
    "finding-save": () => J.handover.save(),
    "finding-copy": () => J.handover.copy(),
  };
  one("[data-job]").addEventListener("click", (event) => {
    const act = event.target.closest("[data-do]");
    if (act && Object.hasOwn(ACTS, act.dataset.do)) { ACTS[act.dataset.do](); }
  });
  file.addEventListener("change", () => { if (file.files[0]) { load(file.files[0]); } file.value = ""; });

  // ---- head of the sheet, and how far each part is
  function state(part) {
    const now = J.closing.readiness(), open = J.safe.open().length;
    const lines = J.closing.groups().flatMap((group) => group.items);
    const words = {
      intake: J.record.under("sign").length ? count(J.record.under("sign").length, "sign", "signs") : J.record.get("asked") ? "a request" : "",
      bench: open ? "not made safe" : J.record.under("check").length ? count(J.record.under("check").length, "check", "checks") : "made safe",
      measured: J.record.under("node").length + J.record.under("idle").length ? count(J.record.under("node").length + J.record.under("idle").length, "reading", "readings") : "",
      work: J.work.foundIds().length ? count(J.work.foundIds().length, "fault", "faults") : "",
      closing: `${lines.filter((one_) => !J.closing.isOpen(one_)).length} of ${lines.length}`,
      "hand-over": now.ready ? "ready" : "not ready",
    };
    return words[part] ?? "";
  }

  J.record.onShow((job) => {
    setText(one("[data-job-title]"), job.fields.size ? label(job) : "A new job: kept on this machine from the first word on");
    document.title = `${job.fields.size ? `${label(job)} · ` : ""}Job sheet · Benchlore`;
    for (const place of all("[data-step-state]")) { setText(place, state(place.dataset.stepState)); }
    const aside = J.record.aside;
    if (aside.length) {
      const [key, text] = aside[aside.length - 1];
      notice("aside", `Two tabs wrote in the same field (${key}). This tab’s words stand; the other had: “${text.slice(0, 200)}”`, "mind");
    }
    setHidden(one('[data-do="erase"]'), job.fields.size === 0);
    const count_ = J.store.ids().length;
    setText(one("[data-job-count]"), count_ ? `(${count_})` : "");
  });

  J.jobs = { notice, hush, refresh, openJob, fresh, label, load };
})(globalThis.Benchlore ??= {});
