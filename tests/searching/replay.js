"use strict";
/* Runs the page's own search in Node: argv[2] the site's root, argv[3] the folder of scripts; queries as JSON lines on standard input. */
const fs = require("fs"), path = require("path"), vm = require("vm"), readline = require("readline");
globalThis.window = globalThis;
const run = (file) => vm.runInThisContext(fs.readFileSync(file, "utf8"), { filename: file });
for (const name of ["search-words", "search-index", "search-rank"]) run(path.join(process.argv[3], name + ".js"));
const search = globalThis.Benchlore.search;

async function answer(book, asked) {
  const start = process.cpuUsage(); // not the clock: the machine may have other work
  const plan = search.plan(asked.query, book.reader, book.lexicon, book.start.worth);
  await book.need(search.groupsOf(plan));
  if (asked.family) await book.names();
  const ranked = await search.rank(plan, book, asked.family || null), used = process.cpuUsage(start), ms = (used.user + used.system) / 1000;
  const texts = await book.texts(ranked.slice(0, 10).map((one) => one.document));
  const shown = texts.map((text) => search.show(text, plan, book));
  return {
    query: asked.query, ms, shown_count: search.worthShowing(ranked, book, asked.family || null).length, corrections: plan.corrections,
    ranked: ranked.map((one) => [one.document, one.score]),
    shown: shown.map((one, at) => [texts[at].url, one.anchor, one.snippet.text, one.snippet.marks])
  };
}

(async () => {
  const book = await search.open((name) => run(path.join(process.argv[2], "assets", "search", name + ".js")));
  for await (const line of readline.createInterface({ input: process.stdin }))
    process.stdout.write(JSON.stringify(await answer(book, JSON.parse(line))) + "\n");
})();
