// Job sheet: making safe. What must be done is done, or left out with a reason that stays on the sheet; until then nothing inside is recorded.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.intake) { return; }
  const { one, all, setText, count, andList } = J.dom;
  const steps = all("[data-safe]").map((node) => ({ n: node.dataset.safe, must: "must" in node.dataset, node }));
  const LEAST_REASON = 3;

  const done = (n) => J.record.has(`safe/${n}`, "done");
  const reason = (n) => { const words = J.record.get(`safe-why/${n}`).trim(); return words.length >= LEAST_REASON ? words : ""; };
  const open = () => steps.filter(({ n, must }) => must && !done(n) && !reason(n)).map(({ n }) => n);
  const left = () => steps.filter(({ n, must }) => must && !done(n) && reason(n)).map(({ n }) => ({ n, reason: reason(n), words: J.book.safe[n - 1].do }));

  function words() {
    const rest = open(), out = left();
    if (rest.length) { return `${count(rest.length, "step", "steps")} marked must ${rest.length === 1 ? "is" : "are"} open (${andList(rest)}): nothing inside can be recorded yet.`; }
    return out.length ? `Made safe, with ${count(out.length, "step", "steps")} left out: ${out.map((one_) => `${one_.n} (${one_.reason})`).join("; ")}.` : "Made safe. Do it again after every spell with power on.";
  }

  J.record.onShow(() => {
    const place = one("[data-safe-said]");
    setText(place, words());
    place.dataset.mark = open().length ? "stop" : left().length ? "mind" : "good";
    for (const { n, node } of steps) {
      node.classList.toggle("job-step-done", done(n));
      const details = one(".job-left", node);
      if (details && reason(n) && !done(n)) { details.open = true; }
    }
  });

  J.safe = { open, left, words, total: steps.length, done: () => steps.filter(({ n }) => done(n)).length };
})(globalThis.Benchlore ??= {});
