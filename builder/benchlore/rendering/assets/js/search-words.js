/* Search, part 1: reading what was typed. The tables come from the builder; the steps are those of analysis.py, lexicon.py and
   asking.py, and a test holds the two together. */
(function () {
  "use strict";
  var Benchlore = (window.Benchlore = window.Benchlore || {});
  var search = (Benchlore.search = Benchlore.search || {});

  /* ---- text to tokens (analysis.py) ---- */

  search.reader = function (tables) {
    var accents = new RegExp(tables.accents, "g"), noWords = new RegExp(tables.noWords, "g"), pluralCode = new RegExp(tables.pluralCode);
    var token = new RegExp(tables.token, "g"), codeBase = new RegExp(tables.codeBase), code = new RegExp(tables.code), folds = new Map(Object.entries(tables.folds));
    var fold1 = new RegExp("[" + Array.from(folds.keys()).map(escaped).join("") + "]", "g");
    var rewrites = tables.rewrites.map(function (pair) { return [new RegExp(pair[0], "g"), pair[1]]; });
    var stop = new Set(tables.stop), weak = new Set(tables.weak), defines = new RegExp(tables.defines);

    function escaped(sign) { return "\\u" + sign.charCodeAt(0).toString(16).padStart(4, "0"); }

    function fold(text) {
      var plain = text.normalize("NFKD").replace(accents, "").toLowerCase().replace(fold1, function (sign) { return folds.get(sign); });
      plain = plain.replace(noWords, " ");
      rewrites.forEach(function (pair) { plain = plain.replace(pair[0], pair[1]); });
      return plain;
    }

    function tokens(text) {
      return Array.from(fold(text).matchAll(token), function (match, place) {
        var word = match[0].replace(/^#+/, "").slice(0, tables.longestToken), plural = pluralCode.exec(word);
        return { text: plural ? plural[1] : word, place: place };
      });
    }

    function queryTokens(words) {
      var looked = first(words), typed = tokens(looked), kept = typed.filter(function (one) { return !stop.has(one.text); });
      if (!kept.length) kept = typed.slice(-1);
      var met = new Set();
      kept = kept.filter(function (one) { return !met.has(one.text) && met.add(one.text); }).slice(0, tables.mostTokens);
      return { kept: kept, unfinished: kept.length > 0 && kept[kept.length - 1] === typed[typed.length - 1] && looked.slice(-1) !== " " };
    }

    function first(words) { return Array.from(words.slice(0, 2 * tables.longestQuery)).slice(0, tables.longestQuery).join(""); }

    function baseCode(word) { var base = codeBase.exec(word); return base ? base[1] : null; }

    return {
      fold: fold, tokens: tokens, queryTokens: queryTokens, baseCode: baseCode,
      kindOf: tables.kindOf, isCode: function (word) { return code.test(word); },
      asksMeaning: function (words) { return defines.test(fold(first(words))); },
      isWeak: function (word) { return weak.has(word); },
      hasDigit: function (word) { return /[0-9]/.test(word); },
      isLetters: function (word) { return /^[a-z]+$/.test(word); },
      alsoAs: function (word) { var base = baseCode(word); return base ? [base + tables.kindOf] : word.includes("-") ? word.split("-") : []; }
    };
  };

  /* ---- known words (lexicon.py) ---- */

  search.lexicon = function (start, reader, words, groups, held) {
    var endings = new Set(start.analysis.endings), meanings = new Map(Object.entries(start.meanings));
    var byLength = start.analysis.endings.slice().sort(function (a, b) { return b.length - a.length; });
    var longestMeaning = 1;
    meanings.forEach(function (_, key) { longestMeaning = Math.max(longestMeaning, key.split(" ").length); });

    function from(word) {
      var low = 0, high = words.length;
      while (low < high) { var middle = (low + high) >> 1; if (words[middle] < word) low = middle + 1; else high = middle; }
      return low;
    }

    function group(word) { var at = from(word); return words[at] === word ? groups[at] : null; }

    function completions(begin) {
      var found = new Set();
      for (var at = from(begin); at < words.length && words[at].startsWith(begin); at++) if (words[at] !== begin) found.add(groups[at]);
      return Array.from(found).sort(function (a, b) { return held[b] - held[a]; }).slice(0, begin.length > 1 ? start.mostCompletions : start.fewCompletions);
    }

    function withEndings(stem) {
      var found = new Set();
      for (var at = from(stem); at < words.length && words[at].startsWith(stem); at++) {
        var rest = words[at].slice(stem.length);
        if (endings.has(rest) || (rest && rest[0] === stem[stem.length - 1] && endings.has(rest.slice(1)))) found.add(groups[at]);
      }
      return Array.from(found);
    }

    function relatives(word) {
      for (var ending of byLength) {
        if (!word.endsWith(ending) || word.length - ending.length < start.shortestStem) continue;
        var base = word.slice(0, word.length - ending.length);
        var doubled = base.length > start.shortestStem && base[base.length - 1] === base[base.length - 2];
        for (var stem of [base, doubled ? base.slice(0, -1) : ""]) {
          var found = stem ? withEndings(stem) : [];
          if (found.length) return found;
        }
      }
      return [];
    }

    function row(word, known, depth, rows) {
      var letter = known[depth - 1], above = rows[depth - 1], next = [depth];
      for (var column = 1; column <= word.length; column++) {
        var best = Math.min(above[column] + 1, next[column - 1] + 1, above[column - 1] + (word[column - 1] === letter ? 0 : 1));
        if (depth > 1 && column > 1 && word[column - 1] === known[depth - 2] && word[column - 2] === letter)
          best = Math.min(best, rows[depth - 2][column - 2] + 1);
        next.push(best);
      }
      return next;
    }

    function shared(one, other) {
      var count = 0, most = Math.min(one.length, other.length);
      while (count < most && one[count] === other[count]) count++;
      return count;
    }

    function near(word, most, starts) {
      var found = [], rows = [Array.from({ length: word.length + 1 }, function (_, at) { return at; })], before = "", dead = 0;
      words.forEach(function (known, at) {
        var same = shared(before, known);
        if (dead && same >= dead) return;
        before = known; dead = 0;
        rows.length = Math.min(same, rows.length - 1) + 1;
        while (rows.length <= known.length && !dead) {
          var depth = rows.length;
          rows.push(row(word, known, depth, rows));
          if (Math.min.apply(null, rows[depth]) > most && Math.min.apply(null, rows[depth - 1]) >= most) dead = depth;
        }
        if (reader.hasDigit(known)) return;
        var whole = rows.length === known.length + 1 ? rows[rows.length - 1][word.length] : most + 1;
        if (whole <= most) found.push({ word: at, edits: whole, whole: true });
        else if (starts && known.length > word.length && rows.some(function (one) { return one[word.length] <= 1; }))
          found.push({ word: at, edits: 1, whole: false });
      });
      return found;
    }

    function guesses(word, unfinished) {
      if (reader.hasDigit(word) || word.length < 3) return [];
      var found = near(word, word.length < 6 ? 1 : 2, unfinished && word.length >= 5), kept = new Map();
      found.sort(function (a, b) {
        return a.edits - b.edits || !a.whole - !b.whole || (words[a.word][0] !== word[0]) - (words[b.word][0] !== word[0]) ||
          held[groups[b.word]] - held[groups[a.word]] || a.word - b.word;
      });
      found.forEach(function (guess) {
        if (guess.edits === found[0].edits && !kept.has(groups[guess.word])) kept.set(groups[guess.word], guess);
      });
      return Array.from(kept.values()).slice(0, start.mostGuesses);
    }

    return {
      words: words, groups: groups, held: held, group: group, completions: completions, relatives: relatives, guesses: guesses,
      longestMeaning: longestMeaning, meant: function (key) { return meanings.get(String(key)) || []; }
    };
  };

  /* ---- what was typed, as a plan (asking.py) ---- */

  search.plan = function (text, reader, lexicon, worth) {
    var asked = reader.queryTokens(text), typed = asked.kept, growing = asked.unfinished ? typed.length - 1 : -1;
    var corrections = [], unknown = [], spans = [];

    function best(picks, group, value) { picks.set(group, Math.max(picks.has(group) ? picks.get(group) : 0, value)); }

    function all(groups, value) { return new Map(groups.map(function (group) { return [group, value]; })); }

    function key(word) {
      var group = lexicon.group(word);
      if (group === null && !reader.hasDigit(word)) group = lexicon.relatives(word).concat([null])[0];
      return group === null ? "~" : String(group);
    }

    function together(at) {
      var keys = typed.slice(at, at + lexicon.longestMeaning).map(function (token) { return key(token.text); });
      for (var size = keys.length; size > 1; size--) {
        var meant = lexicon.meant(keys.slice(0, size).join(" "));
        if (meant.length) return { size: size, whole: all(meant, size * worth.phrase) };
      }
      if (at + 1 < typed.length) {
        var one = typed[at].text, two = typed[at + 1].text;
        for (var whole of [one + two, one + "-" + two]) {
          var group = lexicon.group(whole);
          if (group !== null && (whole.length > 4 || reader.hasDigit(whole))) return { size: 2, whole: all([group], 2) };
        }
        if (at + 1 === growing && reader.hasDigit(two) && reader.isLetters(one) && one.length < 4) {
          var grown = lexicon.completions(one + two);
          if (grown.length) return { size: 2, whole: all(grown, 2 * worth.completed) };
        }
      }
      return { size: 1, whole: new Map() };
    }

    function complete(begin, picks, value) {
      var grown = lexicon.completions(begin), most = grown.length ? lexicon.held[grown[0]] : 0;
      grown.forEach(function (group) {
        best(picks, group, value * (most ? worth.rare + (1 - worth.rare) * lexicon.held[group] / most : 1));
      });
    }

    function literal(word, grows) {
      var picks = new Map(), group = lexicon.group(word), base = reader.baseCode(word);
      var longer = lexicon.group(word + reader.kindOf);
      if (group !== null) picks.set(group, 1);
      if (longer !== null) picks.set(longer, worth.kindOf);
      var found = base === null ? null : lexicon.group(base);
      if (found !== null) best(picks, found, worth.base);
      if (grows && (group === null || (word.length > 2 && !reader.hasDigit(word)))) complete(word, picks, group === null ? worth.completed : worth.completedToo);
      return picks;
    }

    function otherwise(word, grows) {
      var relatives = lexicon.relatives(word), picks = new Map();
      if (relatives.length) return all(relatives, worth.relative);
      if (!grows && word.length > 2) complete(word, picks, worth.cut);
      if (!picks.size) lexicon.guesses(word, grows).forEach(function (guess, number) {
        if (!number) corrections.push({ typed: word, shown: lexicon.words[guess.word] });
        var value = guess.whole ? worth["slip" + guess.edits] : worth.unfinishedSlip;
        picks.set(lexicon.groups[guess.word], !number ? value : value * worth.secondGuess);
      });
      return picks;
    }

    function slot(token, grows, joined) {
      var picks = literal(token.text, grows);
      if (!picks.size && !joined && !reader.hasDigit(token.text)) picks = otherwise(token.text, grows);
      if (!picks.size && !joined) unknown.push(token.text);
      Array.from(picks).forEach(function (pick) {
        lexicon.meant(pick[0]).forEach(function (meaning) { best(picks, meaning, pick[1] * worth.synonym); });
      });
      return { place: token.place, worth: reader.isWeak(token.text) ? worth.weak : reader.isCode(token.text) ? worth.code : 1, picks: picks };
    }

    for (var at = 0; at < typed.length; ) {
      var span = together(at), size = span.size;
      spans.push({
        whole: span.whole,
        slots: typed.slice(at, at + size).map(function (token, number) { return slot(token, at + number === growing, span.whole.size > 0); })
      });
      at += size;
    }
    return {
      spans: spans, asksMeaning: reader.asksMeaning(text), slots: spans.flatMap(function (span) { return span.slots; }), corrections: corrections, unknown: unknown,
      words: typed.map(function (token) { return token.text; })
    };
  };
})();
