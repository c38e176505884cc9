/* Search, part 3: ranking and the line to show, by the steps of weighing.py, second_look.py and showing.py; the formulas came printed with the index. */
(function () {
  "use strict";
  var search = ((window.Benchlore = window.Benchlore || {}).search = window.Benchlore.search || {});
  var MOST_READ = 20000, WORDS = 32, read = new Map(); // a query has fewer words than bits
  var LEAD = /^[^0-9A-Za-z\u00c0-\uffff#]+/, TAIL = /[^0-9A-Za-z\u00c0-\uffff+%]+$/;

  search.groupsOf = function (plan) {
    var groups = new Set();
    plan.spans.forEach(function (span) {
      span.whole.forEach(function (_, group) { groups.add(group); });
      span.slots.forEach(function (slot) { slot.picks.forEach(function (_, group) { groups.add(group); }); });
    });
    return Array.from(groups);
  };

  function cellsOf(picks, worth, book) {
    var best = new Map();
    picks.forEach(function (share, group) {
      book.hits(group).forEach(function (hit) {
        var score = worth * share * hit.score;
        if (score > (best.get(hit.document) || 0)) best.set(hit.document, score);
      });
    });
    return best;
  }

  function placesOf(slot, book) {
    var places = new Map();
    slot.picks.forEach(function (_, group) {
      book.hits(group).forEach(function (hit) {
        var of = places.get(hit.document);
        places.set(hit.document, of ? of.concat(hit.places) : hit.places);
      });
    });
    return places;
  }

  // The sum over the words, and how much of the query is there.
  function scoreOf(plan, document, weights, cells, wholes) {
    var total = 0, covered = 0, wanted = 0, number = 0;
    plan.spans.forEach(function (span, at) {
      var parts = 0, partsCovered = 0, spanWanted = 0;
      span.slots.forEach(function () {
        var score = cells[number].get(document) || 0;
        parts += score;
        partsCovered += score ? weights[number] : 0;
        spanWanted += weights[number];
        number++;
      });
      var together = wholes[at].get(document) || 0;
      total += Math.max(parts, together);
      covered += together ? spanWanted : partsCovered;
      wanted += spanWanted;
    });
    return { total: total, covered: covered / wanted };
  }

  function meet(first, second, most) {
    first = first.slice().sort(function (a, b) { return a - b; });
    second = second.slice().sort(function (a, b) { return a - b; });
    var at = 0;
    return second.some(function (place) {
      while (at < first.length && first[at] < place - most) at++;
      return at < first.length && first[at] < place;
    });
  }

  function togetherOf(slots, document, cells, places, start) {
    var bonus = 0;
    for (var number = 0; number + 1 < slots.length; number++) {
      var lesser = Math.min(cells[number].get(document) || 0, cells[number + 1].get(document) || 0);
      var most = slots[number + 1].place - slots[number].place + start.slack;
      if (lesser && meet(places[number].get(document), places[number + 1].get(document), most)) bonus += start.together * lesser;
    }
    return bonus;
  }

  function factorOf(card, family, start) {
    var near = family < 0 || !card.families.includes(family) ? 1 : start.kinds[card.kind] === "family" ? start.ownFamily : start.sameFamily;
    return start.priors[card.kind] * near;
  }

  // Words of the glossary put behind the best other entry, where it answers nearly as well as the best of them.
  function wordsBehind(ranked, book) {
    var start = book.start, best = 0, word = 0;
    ranked.forEach(function (one) {
      if (start.kinds[book.cards[one.document].kind] === "term") word = Math.max(word, one.score); else best = Math.max(best, one.score);
    });
    if (!(start.yields * word <= best && best < word)) return;
    var behind = start.behind * best / word;
    ranked.forEach(function (one) { if (one.score > best) one.score *= behind; });
  }

  // Asked what something means, words of the glossary weigh more.
  function wordsAsked(ranked, book) {
    var start = book.start;
    ranked.forEach(function (one) { if (start.kinds[book.cards[one.document].kind] === "term") one.score *= start.asked; });
  }

  function inOrder(ranked, start) {
    ranked.forEach(function (one) { one.order = Math.round(one.score * Math.pow(10, start.digits)); });
    return ranked.sort(function (a, b) { return b.order - a.order || a.document - b.document; });
  }

  // What is like the best answer moved up behind it; families and past jobs before that answer stay as they are.
  async function withKindred(ranked, book) {
    var start = book.start, best = ranked.findIndex(function (one) { return !start.cases.includes(start.kinds[book.cards[one.document].kind]); });
    if (best < 0) return ranked;
    var first = ranked[best], near = await book.near(first.document), after = ranked.slice(best + 1);
    after.forEach(function (one) {
      one.score = (one.score + start.kindred * first.score * (near.get(one.document) || 0) / 100) / (1 + start.kindred);
    });
    return inOrder(ranked.slice(0, best + 1).concat(after), start);
  }

  // For each of the documents every place that answers a word of the query and the word's number, in order, as place * WORDS + number.
  function seenPlaces(plan, book, documents) {
    var places = new Map(), number = 0;
    documents.forEach(function (document) { places.set(document, []); });
    plan.spans.forEach(function (span) {
      span.slots.forEach(function (slot) {
        new Set(Array.from(slot.picks.keys()).concat(Array.from(span.whole.keys()))).forEach(function (group) {
          book.hits(group).forEach(function (hit) {
            var of = places.get(hit.document);
            if (of) for (var at = 0; at < hit.places.length; at++) of.push(hit.places[at] * WORDS + number);
          });
        });
        number++;
      });
    });
    places.forEach(function (of, document) { places.set(document, Float64Array.from(of).sort()); });
    return places;
  }

  // Words of a query are a set of bits; what they weigh together.
  function weightOf(words, weights) {
    return weights.reduce(function (sum, weight, number) { return words & (1 << number) ? sum + weight : sum; }, 0);
  }

  // Of the words of a query, by weight: the most that stands together, and all that the page's top has; how many the title has.
  function seenIn(places, weights, card, look) {
    var line = 0, top = 0, title = 0, titles = 0, most = 0, last = -look.gap, at = 0;
    for (var n = 0; n < places.length; n++) {
      var place = Math.floor(places[n] / WORDS), word = 1 << places[n] % WORDS, before = line;
      while (place >= card.runs[at].end) at++;
      line = place - last > look.gap ? word : line | word;
      if (line !== before) most = Math.max(most, weightOf(line, weights));
      last = place;
      if (look.tops.includes(card.runs[at].field)) top |= word;
      if (card.runs[at].field === look.title && !(title & word)) { title |= word; titles++; }
    }
    return { line: most, top: weightOf(top, weights), title: titles };
  }

  // The second look: the first answers graded by what the words of the query do in each; the best stays the best, past jobs keep their places.
  async function lookAgain(ranked, plan, weights, book) {
    var start = book.start, look = start.look, seats = [];
    ranked.forEach(function (one, seat) { if (start.kinds[book.cards[one.document].kind] !== look.left) seats.push(seat); });
    seats = seats.slice(0, look.at);
    if (seats.length < 3) return ranked;
    var first = ranked[seats[0]], near = await book.near(first.document), wanted = weightOf(-1, weights);
    var others = seats.slice(1).map(function (seat) { return ranked[seat]; });
    var places = seenPlaces(plan, book, others.map(function (one) { return one.document; }));
    var graded = inOrder(others.map(function (one) {
      var card = book.cards[one.document], seen = seenIn(places.get(one.document), weights, card, look), kind = look.kinds[card.kind];
      var words = look.score + look.line * (seen.line / wanted) + look.top * (seen.top / wanted);
      var title = seen.title / Math.max(card.lengths[look.title], seen.title, 1);
      var grade = one.score / first.score * words + look.kin * ((near.get(one.document) || 0) / 100) + kind[0] + kind[1] * title;
      return { document: one.document, score: grade };
    }), start);
    var share = look.next * first.score / graded[0].score, again = ranked.slice(), last = seats[seats.length - 1];
    graded.forEach(function (one, at) { again[seats[at + 1]] = { document: one.document, score: share * one.score }; });
    var lower = again[last].score / ranked[last].score;
    for (var seat = seats[0] + 1; seat < again.length; seat++) {
      if (seat > last) again[seat] = { document: again[seat].document, score: lower * again[seat].score };
      else if (again[seat] === ranked[seat]) again[seat] = { document: again[seat].document, score: again[seat - 1].score };
    }
    return again;
  }

  /* All documents that answer, best first. `family` is the id of the family a job is open on, or null. Needs book.need(groups) first, and with a family book.names(). */
  search.rank = async function (plan, book, family) {
    var start = book.start, at = family ? start.families.findIndex(function (pair) { return pair[0] === family; }) : -1;
    var cells = plan.slots.map(function (slot) { return cellsOf(slot.picks, slot.worth, book); });
    var places = plan.slots.length > 1 ? plan.slots.map(function (slot) { return placesOf(slot, book); }) : [];
    var wholes = plan.spans.map(function (span) { return cellsOf(span.whole, 1, book); });
    var weights = cells.map(function (cell, at) { return plan.slots[at].worth * book.rarity(start.documents, cell.size); });
    var found = new Set(), own = -1;
    cells.concat(wholes).forEach(function (of) { of.forEach(function (_, document) { found.add(document); }); });
    var ranked = Array.from(found, function (document) {
      var of = scoreOf(plan, document, weights, cells, wholes), card = book.cards[document];
      var score = of.total * (1 - start.cover + start.cover * of.covered) + togetherOf(plan.slots, document, cells, places, start);
      if (of.covered === 1 && at >= 0 && start.kinds[card.kind] === "family" && card.families.includes(at)) own = document;
      return { document: document, score: score * factorOf(card, at, start) };
    });
    if (plan.asksMeaning) wordsAsked(ranked, book); else wordsBehind(ranked, book);
    var best = ranked.reduce(function (most, one) { return Math.max(most, one.score); }, 0);
    ranked.forEach(function (one) {
      if (one.document === own) one.score = start.first * best; // the family itself, when all of the query is on its page
    });
    return lookAgain(await withKindred(inOrder(ranked, start), book), plan, weights, book);
  };

  /* Without what answers faintly beside the best; a preferred family that moved up hides nothing. */
  search.worthShowing = function (ranked, book, family) {
    var least = ranked.length ? book.start.faint * ranked[0].score / (family ? book.start.ownFamily : 1) : 0;
    return ranked.filter(function (one) { return one.score >= least; });
  };

  /* ---- the line to show (showing.py) ---- */

  // The groups in a line or word; what was read once is remembered, for the next letter shows much the same lines.
  function groupsIn(text, book) {
    var known = read.get(text);
    if (!known) {
      if (read.size >= MOST_READ) read.clear();
      read.set(text, (known = readGroups(text, book)));
    }
    return known;
  }

  function readGroups(text, book) {
    var words = new Set(), held = new Set(), found = book.reader.tokens(text);
    found.forEach(function (token, at) {
      words.add(token.text);
      book.reader.alsoAs(token.text).forEach(words.add, words);
      if (at) words.add(found[at - 1].text + token.text);
    });
    words.forEach(function (word) {
      var group = book.lexicon.group(word);
      if (group === null) return;
      held.add(group);
      book.lexicon.meant(group).forEach(held.add, held);
    });
    return held;
  }

  search.holdsAny = function (text, groups, book) { var held = groupsIn(text, book); return groups.some(held.has, held); };

  function worthOf(text, wanted, book) {
    var held = groupsIn(text, book);
    return wanted.reduce(function (sum, one) { return sum + (one.groups.some(held.has, held) ? one.worth : 0); }, 0);
  }

  function bestOf(items, worth) {
    var best = null, most = -1;
    items.forEach(function (item) { var value = worth(item); if (value > most) { most = value; best = item; } });
    return { item: best, worth: Math.max(most, 0) };
  }

  search.marksIn = function (text, groups, book) {
    var marks = [], wanted = new Set(groups);
    for (var match of text.matchAll(/\S+/g)) {
      var chunk = match[0].replace(LEAD, ""), start = match.index + match[0].length - chunk.length;
      chunk = chunk.replace(TAIL, "");
      if (chunk && Array.from(groupsIn(chunk, book)).some(wanted.has, wanted)) marks.push([start, start + chunk.length]);
    }
    return marks;
  };

  search.cut = function (text, groups, book) {
    var marks = search.marksIn(text, groups, book), start = 0, end = text.length, longest = book.start.longestSnippet, lead = book.start.lead;
    if (text.length > longest && marks.length && marks[0][0] > lead) start = text.indexOf(" ", marks[0][0] - lead) + 1;
    if (end - start > longest) end = Math.max(text.lastIndexOf(" ", start + longest - 1), start + 1);
    var before = start ? "… " : "", shift = before.length - start;
    return {
      text: before + text.slice(start, end) + (end < text.length ? " …" : ""),
      marks: marks.filter(function (mark) { return mark[0] >= start && mark[1] <= end; })
        .map(function (mark) { return [mark[0] + shift, mark[1] + shift]; })
    };
  };

  /* Where a document answers best: { anchor, heading, snippet: {text, marks} }. */
  search.show = function (document, plan, book) {
    var names = book.start.fieldNames, top = document.sections[0], wanted = plan.spans.flatMap(function (span) {
      return span.slots.map(function (slot) { return { worth: slot.worth, groups: Array.from(slot.picks.keys()).concat(Array.from(span.whole.keys())) }; });
    });
    var groups = search.groupsOf(plan);
    function ofLine(line) { return worthOf(line[1], wanted, book); }
    var head = worthOf(top[2].filter(function (line) { return ["title", "names", "owner", "summary"].includes(names[line[0]]); })
      .map(function (line) { return line[1]; }).join(" "), wanted, book);
    var best = bestOf(document.sections.map(function (section) {
      var line = bestOf(section[2], ofLine);
      return { section: section, line: line.item, worth: line.worth };
    }), function (one) { return one.worth; }).item;
    if (best.section !== top && best.worth > head && best.line)
      return { anchor: best.line[2] || best.section[0], heading: best.section[1], snippet: search.cut(best.line[1], groups, book) };
    function from(fields) { return top[2].filter(function (line) { return fields.includes(names[line[0]]); }); }
    var text = bestOf(from(["summary"]).concat(from(names.filter(function (name) {
      return !["title", "summary", "names", "owner"].includes(name);
    }))), ofLine), short = bestOf(from(["names", "owner"]), ofLine);
    var line = short.item && (!text.item || short.worth > Math.max(text.worth, ofLine(top[2][0]))) ? short.item : text.item;
    return { anchor: "", heading: "", snippet: search.cut(line ? line[1] : document.title, groups, book) };
  };
})();
