// Search, part 4: the box in the header. Finds as you type, works by keyboard alone, says what it finds to a screen reader,
// carries the words in the address, and keeps recent searches on this machine only. All nodes are made from text.
(function () {
  "use strict";
  var search = ((window.Benchlore = window.Benchlore || {}).search = window.Benchlore.search || {});
  var PAGE = 12, RECENT = 8, MOST_MARKS = 12, KEY = "benchlore:recent-searches";
  var KINDS = {
    family: "Family", symptom: "Symptom", fault: "Fault", stage: "Stage", procedure: "Procedure", tube: "Tube",
    calculator: "Calculator", fastener: "Fastener", term: "Word", finding: "Finding"
  };
  var NARROW = ["kind", "family", "stage"];

  function make(name, attributes, parts) {
    var node = document.createElement(name);
    Object.entries(attributes || {}).forEach(function (pair) { if (pair[1] !== null) node.setAttribute(pair[0], pair[1]); });
    [].concat(parts || []).forEach(function (part) { node.append(part); });
    return node;
  }

  function root() { return /^(?:\.\.\/)*$/.test(document.documentElement.dataset.root || "") ? document.documentElement.dataset.root || "" : ""; }

  function marked(text, marks) {
    var parts = [], at = 0;
    marks.forEach(function (mark) {
      parts.push(text.slice(at, mark[0]), make("mark", {}, text.slice(mark[0], mark[1])));
      at = mark[1];
    });
    return parts.concat(text.slice(at));
  }

  // ---- what is kept, on this machine only; a store that is refused keeps nothing and breaks nothing ----

  function recent() {
    try {
      var kept = JSON.parse(window.localStorage.getItem(KEY));
      return Array.isArray(kept) ? kept.filter(function (one) { return typeof one === "string"; }).slice(0, RECENT) : [];
    } catch (refused) { return []; }
  }

  function remember(words) {
    words = words.trim().slice(0, 100);
    if (!words) return;
    var kept = [words].concat(recent().filter(function (one) { return one !== words; })).slice(0, RECENT);
    try { window.localStorage.setItem(KEY, JSON.stringify(kept)); } catch (refused) { /* then it is not remembered */ }
  }

  function forget() { try { window.localStorage.removeItem(KEY); } catch (refused) { /* nothing was kept */ } }

  // The family a job is open on; else the one whose page this is.
  function preferred() { return window.Benchlore.bench.family() || document.body.dataset.family || null; }

  function toAddress(asked) {
    var address = new URL(window.location.href);
    ["q"].concat(NARROW).forEach(function (name) {
      if (asked[name]) address.searchParams.set(name === "q" ? name : "q-" + name, asked[name]);
      else address.searchParams.delete(name === "q" ? name : "q-" + name);
    });
    try { window.history.replaceState(window.history.state, "", address.href); } catch (refused) { /* the address stays as it is */ }
  }

  // ---- the parts of the panel ----

  function build(host, input) {
    var parts = {
      status: make("div", { class: "search-status", role: "status", "data-search-status": "" }),
      narrow: make("div", { class: "search-narrow", "data-search-narrow": "" }),
      corrections: make("p", { class: "search-corrections", "data-search-corrections": "", hidden: "" }),
      first: make("p", { class: "search-own", "data-search-own": "", hidden: "" }),
      results: make("div", { class: "search-results", id: "search-results", role: "listbox", "aria-label": "Results", "data-search-results": "", hidden: "" }),
      more: make("button", { class: "search-more", type: "button", "data-search-more": "", hidden: "" }, "Show more"),
      empty: make("div", { class: "search-empty", "data-search-empty": "", hidden: "" }),
      recent: make("div", { class: "search-recent", "data-search-recent": "", hidden: "" })
    };
    parts.selects = {};
    NARROW.forEach(function (name) {
      var select = make("select", { name: "search-" + name });
      parts.selects[name] = select;
      parts.narrow.append(make("label", { class: "search-choice", hidden: "" }, [name[0].toUpperCase() + name.slice(1) + " ", select]));
    });
    parts.panel = make("div", { class: "search-panel", "data-search-panel": "", hidden: "" },
      [parts.narrow, parts.corrections, parts.first, parts.results, parts.more, parts.empty, parts.recent]);
    Object.entries({ role: "combobox", "aria-expanded": "false", "aria-controls": "search-results", "aria-autocomplete": "list" })
      .forEach(function (pair) { input.setAttribute(pair[0], pair[1]); });
    host.append(parts.status, parts.panel);
    return parts;
  }

  function address(found, shown, words) {
    var cut = found.url.split("#"), anchor = shown.anchor && !cut[1] ? shown.anchor : cut[1] || "";
    var query = new URLSearchParams();
    if (words.length) query.set("mark", words.join(" "));
    return root() + cut[0] + (words.length ? "?" + query : "") + (anchor ? "#" + anchor : "");
  }

  function wordsToMark(found, groups, book) {
    var words = new Set();
    found.sections.forEach(function (section) {
      section[2].forEach(function (line) {
        if (words.size < MOST_MARKS && search.holdsAny(line[1], groups, book)) search.marksIn(line[1], groups, book).forEach(function (mark) {
          words.add(book.reader.fold(line[1].slice(mark[0], mark[1])).trim().replace(/\s+/g, "-"));
        });
      });
    });
    return Array.from(words).slice(0, MOST_MARKS);
  }

  function option(found, shown, plan, book, at) {
    var groups = search.groupsOf(plan), title = found.title;
    var link = make("a", {
      class: "search-result", role: "option", id: "search-result-" + at, "aria-selected": "false", tabindex: "-1", "data-kind": found.kind,
      href: address(found, shown, wordsToMark(found, groups, book))
    }, [
      make("span", { class: "search-kind", "data-kind": found.kind }, KINDS[found.kind] || found.kind),
      " ", make("span", { class: "search-title" }, marked(title, search.marksIn(title, groups, book)))
    ]);
    if (shown.heading) link.append(" ", make("span", { class: "search-where" }, shown.heading));
    if (shown.snippet.text !== title) link.append(" ", make("span", { class: "search-snippet" }, marked(shown.snippet.text, shown.snippet.marks)));
    return link;
  }

  // ---- one box ----

  function start(host) {
    var input = host.querySelector("input[type=search]");
    if (!input || host.dataset.search === "ready") return;
    var parts = build(host, input), stays = host.hasAttribute("data-search-open");
    var opening = null, turn = 0, active = -1, limit = PAGE, announced = 0;
    var last = { words: null, family: null, ranked: [], plan: null, book: null };

    function openBook() {
      if (!opening) opening = search.open().catch(function () { opening = null; throw new Error("the index did not load"); });
      return opening;
    }

    function options() { return Array.from(parts.results.children); }

    function expand(open) {
      parts.panel.hidden = !open;
      input.setAttribute("aria-expanded", String(open && !parts.results.hidden));
      if (!open) select(-1);
    }

    function select(at) {
      var all = options();
      if (all[active]) all[active].setAttribute("aria-selected", "false");
      active = all.length ? Math.max(-1, Math.min(at, all.length - 1)) : -1;
      if (active < 0) { input.removeAttribute("aria-activedescendant"); return; }
      all[active].setAttribute("aria-selected", "true");
      all[active].scrollIntoView({ block: "nearest" });
      input.setAttribute("aria-activedescendant", all[active].id);
    }

    function say(text) {
      window.clearTimeout(announced);
      announced = window.setTimeout(function () { parts.status.textContent = text; }, 400);
    }

    function asked() {
      var found = { q: input.value.trim() };
      NARROW.forEach(function (name) { found[name] = parts.selects[name].value; });
      return found;
    }

    function fits(card, wanted, book) {
      var start = book.start;
      function holds(list, ids, id) { return !id || list.some(function (at) { return ids[at][0] === id; }); }
      return (!wanted.kind || start.kinds[card.kind] === wanted.kind) &&
        holds(card.families, start.families, wanted.family) && holds(card.stages, start.stages, wanted.stage);
    }

    function offer(name, choices, chosen) {
      var select = parts.selects[name], label = select.parentNode;
      if (chosen && !choices.some(function (one) { return one[0] === chosen; })) choices.push([chosen, KINDS[chosen] || chosen, 0]);
      select.replaceChildren(make("option", { value: "" }, "any"));
      choices.forEach(function (one) { select.append(make("option", { value: one[0] }, one[1] + " (" + one[2] + ")")); });
      select.value = chosen || "";
      label.hidden = choices.length < 2 && !chosen;
    }

    function bar() { parts.narrow.hidden = NARROW.every(function (name) { return parts.selects[name].parentNode.hidden; }); }

    function narrowing(ranked, book, wanted) {
      var counts = { kind: new Map(), family: new Map(), stage: new Map() };
      function add(name, at) { counts[name].set(at, (counts[name].get(at) || 0) + 1); }
      ranked.forEach(function (one) {
        var card = book.cards[one.document];
        add("kind", card.kind);
        card.families.forEach(add.bind(null, "family"));
        card.stages.forEach(add.bind(null, "stage"));
      });
      NARROW.forEach(function (name) {
        var known = name === "kind" ? book.start.kinds.map(function (id) { return [id, KINDS[id]]; }) : book.start[name === "family" ? "families" : "stages"];
        offer(name, Array.from(counts[name].keys()).sort(function (a, b) { return a - b; })
          .map(function (at) { return [known[at][0], known[at][1], counts[name].get(at)]; }), wanted[name]);
      });
      bar();
    }

    function tell(plan) {
      var lines = [];
      plan.corrections.forEach(function (one) { lines.push("Showing ", make("b", {}, one.shown), " for ", make("s", {}, one.typed), ". "); });
      if (plan.unknown.length && plan.unknown.length < plan.words.length) lines.push("Nothing here holds ", make("b", {}, plan.unknown.join(", ")), ".");
      parts.corrections.replaceChildren.apply(parts.corrections, lines);
      parts.corrections.hidden = !lines.length;
    }

    // Says so where the order is not the words' alone.
    function tellFirst(best, book) {
      var at = last.family ? book.start.families.findIndex(function (pair) { return pair[0] === last.family; }) : -1;
      var moved = at >= 0 && best.some(function (one) { return book.cards[one.document].families.includes(at); });
      if (moved) parts.first.replaceChildren(window.Benchlore.bench.family() ? "On the bench: " : "On this page: ", make("b", {}, book.start.families[at][1]), ". What belongs to it comes first.");
      parts.first.hidden = !moved;
    }

    function nearWords(plan, book) {
      var near = new Set();
      plan.unknown.forEach(function (word) {
        for (var size = Math.min(word.length - 1, 5); size > 1 && near.size < 6; size--)
          book.lexicon.completions(word.slice(0, size)).slice(0, 3).forEach(function (group) { near.add(book.lexicon.words[book.lexicon.groups.indexOf(group)]); });
      });
      return Array.from(near).slice(0, 6);
    }

    function nothing(words, plan, book) {
      var near = nearWords(plan, book), draft = root() + "add.html?title=" + encodeURIComponent(words.slice(0, 100)) + "#fault";
      parts.empty.replaceChildren(
        make("p", {}, ["Nothing found for ", make("b", {}, words.slice(0, 100)), "."]),
        make("p", {}, "Try fewer words, the start of a word, or how an owner would say it. Part codes are never guessed at: 12AX7 does not find 12AU7."));
      if (near.length) parts.empty.append(make("p", {}, ["Near it: "].concat(near.flatMap(function (word) {
        var button = make("button", { type: "button", class: "search-near" }, word);
        button.addEventListener("click", function () { ask(word); });
        return [button, " "];
      }))));
      parts.empty.append(make("p", {}, make("a", { class: "search-draft", href: draft }, "Draft this as a new fault")));
    }

    async function show(wanted, mine) {
      if (wanted.family || wanted.stage) await last.book.names();
      var kept = search.worthShowing(last.ranked.filter(function (one) { return fits(last.book.cards[one.document], wanted, last.book); }), last.book, preferred());
      var best = kept.slice(0, limit), plan = last.plan, book = last.book;
      var texts = await book.texts(best.map(function (one) { return one.document; }));
      if (mine !== turn) return;
      var before = active;
      parts.results.replaceChildren.apply(parts.results, texts.map(function (text, at) {
        return option(text, search.show(text, plan, book), plan, book, at);
      }));
      parts.results.hidden = !best.length;
      parts.more.hidden = kept.length <= limit;
      parts.empty.hidden = best.length > 0;
      parts.recent.hidden = true;
      book.names().then(function () {
        if (mine === turn) narrowing(search.worthShowing(last.ranked, book, preferred()), book, wanted);
      }, function () { /* then results cannot be narrowed */ });
      tell(plan);
      tellFirst(best, book);
      if (!best.length) nothing(wanted.q, plan, book);
      expand(stays || document.activeElement === input || host.contains(document.activeElement) || host.hasAttribute("data-search-asked"));
      active = -1;
      if (limit > PAGE) select(before); else parts.panel.scrollTop = 0;
      say(kept.length === 1 ? "1 result for " + wanted.q : kept.length + " results for " + wanted.q);
    }

    async function run() {
      var wanted = asked(), mine = ++turn, typed = input.value;
      toAddress(wanted);
      if (!wanted.q) { idle(); return; }
      try {
        var book = await openBook();
        if (last.words !== typed || last.family !== preferred()) {
          var plan = search.plan(typed, book.reader, book.lexicon, book.start.worth);
          await book.need(search.groupsOf(plan));
          if (mine !== turn) return;
          if (preferred()) await book.names();
          if (mine !== turn) return;
          var ranked = await search.rank(plan, book, preferred());
          if (mine !== turn) return;
          last = { words: typed, family: preferred(), ranked: ranked, plan: plan, book: book };
        }
        await show(wanted, mine);
      } catch (failed) {
        if (mine !== turn) return;
        parts.results.hidden = true;
        parts.empty.hidden = false;
        parts.empty.replaceChildren(make("p", {}, "The search index could not be read. Build the site again, and keep the folder assets/search beside the pages."));
        expand(true);
      }
    }

    // With nothing typed: what was looked for lately.
    function idle() {
      var kept = recent();
      last = { words: null, family: null, ranked: [], plan: null, book: null };
      parts.results.replaceChildren();
      parts.results.hidden = parts.empty.hidden = parts.more.hidden = parts.corrections.hidden = parts.first.hidden = true;
      NARROW.forEach(function (name) { parts.selects[name].parentNode.hidden = true; });
      bar();
      parts.recent.replaceChildren(make("p", { class: "search-recent-title" }, "Recent searches, kept on this machine only"));
      kept.forEach(function (words) {
        var button = make("button", { type: "button", class: "search-again" }, words);
        button.addEventListener("click", function () { ask(words); });
        parts.recent.append(button, " ");
      });
      var clear = make("button", { type: "button", class: "search-forget" }, "Forget these");
      clear.addEventListener("click", function () { forget(); idle(); input.focus(); });
      parts.recent.append(clear);
      parts.recent.hidden = !kept.length;
      say("");
      expand(kept.length > 0 && host.contains(document.activeElement));
    }

    function ask(words) {
      input.value = words;
      limit = PAGE;
      input.focus();
      run();
    }

    function onKey(event) {
      var steps = { ArrowDown: 1, ArrowUp: -1, PageDown: 5, PageUp: -5 };
      if (event.isComposing) return;
      if (steps[event.key] && options().length) {
        event.preventDefault();
        if (parts.panel.hidden) expand(true);
        select(active < 0 && steps[event.key] > 0 ? 0 : active + steps[event.key]);
      } else if (event.key === "Enter") {
        event.preventDefault();
        enter();
      } else if (event.key === "Escape") {
        event.preventDefault();
        if (!parts.panel.hidden && !stays) expand(false);
        else if (input.value) { input.value = ""; run(); }
        else input.blur();
      }
    }

    // Enter right after the last letter waits for its results, so that the first of them is the one that is opened.
    async function enter() {
      if (last.words !== input.value) await run();
      var link = options()[Math.max(active, 0)];
      if (link && !parts.results.hidden) link.click();
    }

    host.dataset.search = "ready";
    input.addEventListener("input", function () { limit = PAGE; run(); });
    input.addEventListener("focus", function () {
      openBook().catch(function () { /* said when something is typed */ });
      if (!input.value.trim()) idle();
      else if (last.words === input.value) expand(true);
      else run();
    });
    input.addEventListener("keydown", onKey);
    parts.results.addEventListener("click", function () { remember(input.value); });
    parts.more.addEventListener("click", function () { limit += PAGE; run(); input.focus(); });
    NARROW.forEach(function (name) { parts.selects[name].addEventListener("change", function () { limit = PAGE; run(); }); });
    host.addEventListener("focusout", function (event) {
      if (!stays && !host.contains(event.relatedTarget)) { host.removeAttribute("data-search-asked"); expand(false); }
    });
    host.addEventListener("keydown", function (event) {
      if (event.key === "Escape" && event.target !== input) { event.preventDefault(); input.focus(); expand(false); }
    });
    document.addEventListener("pointerdown", function (event) { if (!stays && !host.contains(event.target)) expand(false); });
    document.addEventListener("keydown", function (event) {
      var at = event.target;
      if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || (at.closest && at.closest("input, textarea, select, [contenteditable]"))) return;
      event.preventDefault();
      input.focus();
      input.select();
    });

    var carried = new URLSearchParams(window.location.search), words = (carried.get("q") || "").slice(0, 2000);
    if (words) {
      input.value = words;
      host.setAttribute("data-search-asked", "");
      NARROW.forEach(function (name) {
        var chosen = (carried.get("q-" + name) || "").slice(0, 80);
        if (chosen) offer(name, [], chosen);
      });
      run();
    }
  }

  document.querySelectorAll("[data-search]").forEach(start);
})();
