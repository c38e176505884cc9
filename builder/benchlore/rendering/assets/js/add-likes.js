// Forms of entries, part 4: entries that may say it already, found by the site's own search, before another is written.
(function (B) {
  "use strict";
  const add = (B.add ??= {});
  const MOST = 3;
  let opening = null;

  // Titles and addresses of the likest entries of a kind; none where the search is not there.
  add.likes = async function (kind, words) {
    const search = B.search;
    if (!search || !search.open || words.trim().length < 4) { return []; }
    try {
      const book = await (opening ??= search.open());
      const plan = search.plan(words, book.reader, book.lexicon, book.start.worth);
      await book.need(search.groupsOf(plan));
      const best = (await search.rank(plan, book, null)).map((one) => one.document).filter((one) => book.start.kinds[book.cards[one].kind] === kind);
      return (await book.texts(best.slice(0, MOST))).map((text) => ({ title: text.title, url: text.url }));
    } catch (missing) {
      opening = null;
      return [];
    }
  };
})(globalThis.Benchlore ??= {});
