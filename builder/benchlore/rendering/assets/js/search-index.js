/* Search, part 2: the index. Shards are classic scripts, loaded when a word needs them; numbers in them are written as export.py says. */
(function () {
  "use strict";
  var Benchlore = (window.Benchlore = window.Benchlore || {});
  var search = (Benchlore.search = Benchlore.search || {});
  var waiting = new Map();
  var NAME = /^(?:start|formulas|words|cards|names|(?:hits|texts|near)-[0-9]{1,6})$/;

  /* Called by each shard. */
  Benchlore.shelve = function (name, part) {
    var shard = waiting.get(name);
    if (shard) shard.done(part);
  };

  function loader() {
    var root = document.documentElement.dataset.root || "";
    if (!/^(?:\.\.\/)*$/.test(root)) root = "";
    var policy = { createScriptURL: function (name) {
      if (!NAME.test(name)) throw new TypeError("not a shard of the index");
      return root + "assets/search/" + name + ".js";
    } };
    if (window.trustedTypes) policy = window.trustedTypes.createPolicy("benchlore-shard", policy);
    return function (name, failed) {
      var script = document.createElement("script");
      script.src = policy.createScriptURL(name);
      script.onerror = failed;
      script.onload = function () { script.remove(); };
      document.head.append(script);
    };
  }

  /* One shard, once. `fetchOne(name, failed)` makes the script of that name run. */
  function load(fetchOne, name) {
    var shard = waiting.get(name);
    if (!shard) {
      shard = {};
      shard.part = new Promise(function (done, failed) { shard.done = done; shard.failed = failed; });
      waiting.set(name, shard);
      fetchOne(name, function () { waiting.delete(name); shard.failed(new Error("search: " + name + " is missing")); });
    }
    return shard.part;
  }

  function numbersOf(alphabet, last, carry) {
    var value = new Uint8Array(128);
    Array.from(alphabet).forEach(function (letter, at) { value[letter.charCodeAt(0)] = at; });
    return function (text) {
      var found = [], sum = 0, times = 1;
      for (var at = 0; at < text.length; at++) {
        var digit = value[text.charCodeAt(at)];
        sum += times * digit;
        if (digit < last) { found.push(sum); sum = 0; times = 1; } else times *= carry;
      }
      return found;
    };
  }

  function wordsFrom(text, alphabet) {
    var words = [], groups = [], before = "", fresh = 0;
    text.split("|").forEach(function (part) {
      if (!part) return;
      var cut = part.indexOf(";", 1), rest = cut < 0 ? part.slice(1) : part.slice(1, cut);
      before = before.slice(0, alphabet.indexOf(part[0])) + rest;
      var group = cut < 0 ? fresh : fresh - Number(part.slice(cut + 1));
      fresh = Math.max(fresh, group + 1);
      words.push(before); groups.push(group);
    });
    return { words: words, groups: groups };
  }

  function cardFrom(text, start, numbers) {
    var values = numbers(text), at = 0, fields = start.fields.length;
    function some(count) { at += count; return values.slice(at - count, at); }
    function steps(count) { var last = -1; return some(count).map(function (step) { return (last += step + 1); }); }
    var kind = some(1)[0], families = steps(some(1)[0]), stages = steps(some(1)[0]), lengths = some(fields), runs = [], end = 0;
    while (at < values.length) {
      end += values[at + 1];
      runs.push({ field: values[at], end: end });
      at += 2;
    }
    return { kind: kind, families: families, stages: stages, lengths: lengths, runs: runs };
  }

  function placesFrom(values) {
    var found = [];
    for (var at = 0, document = -1; at < values.length; ) {
      document += values[at++] + 1;
      var places = [], place = -1;
      for (var count = values[at++] + 1; count; count--) { place += values[at++] + 1; places.push(place); }
      found.push({ document: document, places: places });
    }
    return found;
  }

  /* The shard that holds a number, when `firsts` are the first numbers of the shards. */
  function shardOf(firsts, number) {
    var low = 0, high = firsts.length;
    while (low < high) { var middle = (low + high) >> 1; if (firsts[middle] <= number) low = middle + 1; else high = middle; }
    return low - 1;
  }

  function tally(places, runs, fields) {
    var found = new Array(fields).fill(0), at = 0;
    places.forEach(function (place) { while (place >= runs[at].end) at++; found[runs[at].field]++; });
    return found;
  }

  /* The open index: what is needed is asked for with `need` and `texts`, then `hits` answers at once. */
  search.open = async function (fetchOne) {
    fetchOne = fetchOne || loader();
    var parts = await Promise.all(["start", "formulas", "words", "cards"].map(load.bind(null, fetchOne)));
    var start = parts[0], formulas = parts[1], numbers = numbersOf(start.alphabet, start.last, start.carry);
    var reader = search.reader(start.analysis), known = wordsFrom(parts[2][0], start.alphabet);
    var lexicon = search.lexicon(start, reader, known.words, known.groups, numbers(parts[2][1]));
    var cards = parts[3].map(function (text) { return cardFrom(text, start, numbers); });
    var shards = new Map(), scored = new Map();

    function score(posting, held) {
      var lengths = cards[posting.document].lengths, sum = 0;
      for (var field = 0; field < start.fields.length; field++) {
        if (!posting.tally[field]) continue;
        var weight = start.fields[field], rarity = formulas.rarity(start.documents, held[field]);
        sum += weight[0] * formulas.share(rarity, posting.tally[field], lengths[field], weight[2], weight[1], start.k1);
      }
      return sum;
    }

    function hitsOf(postings) {
      postings.forEach(function (posting) { posting.tally = tally(posting.places, cards[posting.document].runs, start.fields.length); });
      var held = start.fields.map(function (_, field) { return postings.filter(function (one) { return one.tally[field]; }).length; });
      return postings.map(function (one) { return { document: one.document, score: score(one, held), places: one.places }; });
    }

    return {
      start: start, reader: reader, lexicon: lexicon, cards: cards, rarity: formulas.rarity,
      need: async function (groups) {
        var missing = new Set(groups.map(shardOf.bind(null, start.hits)).filter(function (shard) { return !shards.has(shard); }));
        await Promise.all(Array.from(missing, async function (shard) { shards.set(shard, await load(fetchOne, "hits-" + shard)); }));
      },
      hits: function (group) {
        var found = scored.get(group), shard = shardOf(start.hits, group);
        if (!found) scored.set(group, (found = hitsOf(placesFrom(numbers(shards.get(shard)[group - start.hits[shard]])))));
        return found;
      },
      // Ids and titles of families and stages: only narrowing needs them, and the family that comes first.
      names: async function () {
        var names = await load(fetchOne, "names");
        start.families = names.families;
        start.stages = names.stages;
      },
      // The documents that are like one: how alike in hundredths, by number.
      near: async function (document) {
        var shard = shardOf(start.near, document), rows = await load(fetchOne, "near-" + shard), found = new Map();
        for (var values = numbers(rows[document - start.near[shard]]), at = 0, other = -1; at < values.length; at += 2) {
          other += values[at] + 1;
          found.set(other, values[at + 1]);
        }
        return found;
      },
      texts: function (documents) {
        return Promise.all(documents.map(async function (document) {
          var shard = shardOf(start.texts, document), text = (await load(fetchOne, "texts-" + shard))[document - start.texts[shard]];
          return { kind: text[0], id: text[1], title: text[2], url: text[3], sections: text[4] };
        }));
      }
    };
  };
})();
