// The pages of a book read without this. It adds the search of the front page, and keeps
// ticks on the device. Nothing is ever sent or fetched.
"use strict";
(function () {
  var body = document.body;

  // What the device keeps. Where it keeps nothing, a tick lasts as long as its page.
  var prefix = "matchmark-book " + body.dataset.book + " ";
  function kept(name) {
    try { return localStorage.getItem(prefix + name) === "1"; } catch (_) { return false; }
  }
  function keep(name, is) {
    try {
      if (is) localStorage.setItem(prefix + name, "1");
      else localStorage.removeItem(prefix + name);
    } catch (_) { /* a private window */ }
  }

  function ticks() {
    var boxes = Array.from(document.querySelectorAll("input[data-tick]"));
    if (boxes.length === 0) return;
    var said = document.createElement("p");
    said.setAttribute("role", "status");
    var clear = document.createElement("button");
    clear.type = "button";
    clear.textContent = "Take all ticks off";
    function count() {
      var done = boxes.filter(function (box) { return box.checked; }).length;
      said.textContent = done + " of " + boxes.length + " ticked";
      clear.hidden = done === 0;
    }
    function show() {
      boxes.forEach(function (box) { box.checked = kept(box.dataset.tick); });
      count();
    }
    boxes.forEach(function (box) {
      box.addEventListener("change", function () { keep(box.dataset.tick, box.checked); count(); });
    });
    clear.addEventListener("click", function () {
      boxes.forEach(function (box) { keep(box.dataset.tick, false); });
      show();
      boxes[0].focus();
    });
    var steps = document.querySelector("ol.steps");
    steps.before(said);
    steps.after(clear);
    show();
    // A page that comes back as it was left may have been changed in another tab.
    window.addEventListener("pageshow", show);
  }

  // The text as the journal's own search compares it: small letters, no accents, plain
  // dashes and fractions.
  var fractions = { "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3" };
  function folded(text) {
    return text
      .replace(/(\d?)([½¼¾⅛⅜⅝⅞⅓⅔])/g, function (_, digit, sign) { return digit + (digit ? "-" : "") + fractions[sign]; })
      .normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase()
      .replace(/[\u2018\u2019\u2032]/g, "'").replace(/[\u2010-\u2015\u2212]/g, "-")
      .replace(/[×✕]/g, "x").replace(/[\u2044\u2215]/g, "/")
      .replace(/(\d),(\d)/g, "$1.$2");
  }
  function cut(text) {
    return folded(text).split(/[^\p{L}\p{N}\/.'_:-]+/u)
      .map(function (word) { return word.replace(/^[^\p{L}\p{N}]+|[^\p{L}\p{N}]+$/gu, "").replace(/'s$/, "").replace(/'/g, ""); })
      .filter(function (word) { return word && word !== "x"; });
  }

  // Whether two words are one letter too many, missing or wrong, or two swapped away.
  function oneSlip(a, b) {
    var from = 0, ends = 0, most = Math.min(a.length, b.length);
    while (from < most && a[from] === b[from]) from++;
    while (ends < most - from && a[a.length - 1 - ends] === b[b.length - 1 - ends]) ends++;
    var x = a.length - from - ends, y = b.length - from - ends;
    return (x <= 1 && y <= 1 && x + y > 0)
      || (x === 2 && y === 2 && a[from] === b[from + 1] && a[from + 1] === b[from]);
  }

  function Search(data) {
    var words = data.words ? data.words.split(" ") : [];
    var places = data.places.split(" ");
    var skip = new Set(data.skip.split(" "));
    var byStem = new Map();
    data.stems.forEach(function (stem, at) {
      if (stem) { if (byStem.has(stem)) byStem.get(stem).push(at); else byStem.set(stem, [at]); }
    });
    var read = new Map();
    // The pages of a word: their numbers, and whether it stands in their titles.
    function pagesOf(at) {
      if (!read.has(at)) {
        var number = 0, pages = [];
        var steps = places[at].split(",");
        for (var step = 0; step < steps.length; step++) {
          var value = parseInt(steps[step], 36);
          number += value >> 1;
          pages.push(number * 2 + (value & 1));
        }
        read.set(at, pages);
      }
      return read.get(at);
    }
    function first(word) {
      var low = 0, high = words.length;
      while (low < high) {
        var middle = (low + high) >> 1;
        if (words[middle] < word) low = middle + 1; else high = middle;
      }
      return low;
    }
    // The word itself and those of its stem.
    function exactly(word) {
      var at = first(word);
      if (words[at] !== word) return [];
      return data.stems[at] ? byStem.get(data.stems[at]) : [at];
    }
    function begunBy(word) {
      var found = [];
      for (var at = first(word); at < words.length && words[at].startsWith(word); at++) found.push(at);
      return found;
    }
    function near(word) {
      if (!/^\p{L}{3,}$/u.test(word)) return [];
      var found = [];
      for (var length = word.length - 1; length < word.length + 2; length++) {
        (spelt().get(length) || []).forEach(function (at) { if (oneSlip(word, words[at])) found.push(at); });
      }
      return found.sort(function (a, b) { return a - b; });
    }
    // The words that begin with a letter, by their length.
    var lengths = null;
    function spelt() {
      if (lengths) return lengths;
      lengths = new Map();
      words.forEach(function (word, at) {
        if (!/^\p{L}/u.test(word)) return;
        if (lengths.has(word.length)) lengths.get(word.length).push(at); else lengths.set(word.length, [at]);
      });
      return lengths;
    }
    // Reads ahead while nobody waits for it, a little at a time.
    this.readAhead = function () {
      var at = 0;
      function some() {
        var end = Date.now() + 8;
        while (at < words.length && Date.now() < end) pagesOf(at++);
        if (at < words.length) setTimeout(some, 20); else spelt();
      }
      setTimeout(some, 20);
    };
    function singular(word) { return word.length > 3 && word.endsWith("s") ? word.slice(0, -1) : word; }

    // Which other words mean the same as those from `at` on.
    function others(asked, at) {
      var best = { length: 0, ways: [] };
      data.same.forEach(function (group) {
        group.forEach(function (phrase) {
          var own = phrase.split(" ");
          var is = own.length > best.length
            && own.every(function (word, step) { return asked[at + step] && singular(asked[at + step]) === singular(word); });
          if (is) {
            best = {
              length: own.length,
              ways: group.filter(function (other) { return other !== phrase; }).map(function (other) { return other.split(" "); })
            };
          }
        });
      });
      return best;
    }

    this.find = function (text) {
      var asked = cut(text), said = [];
      var wanted = asked.filter(function (word) { return !skip.has(word); });
      if (wanted.length === 0) return { pages: [], found: 0, said: said, all: true };
      var count = data.pages.length, units = 0;
      var score = new Int32Array(count), hits = new Uint8Array(count), best = new Uint8Array(count);
      function mark(at, weight, into) {
        var pages = pagesOf(at);
        for (var index = 0; index < pages.length; index++) {
          var page = pages[index], own = weight + (page & 1 ? 4 : 0);
          if (into[page >> 1] < own) into[page >> 1] = own;
        }
      }
      function word(own, isLast, into) {
        var exact = exactly(own);
        exact.forEach(function (at) { mark(at, words[at] === own ? 4 : 3, into); });
        // While it is typed, a word of one letter would begin half of them.
        var begins = (exact.length === 0 || isLast) && (own.length > 1 || /\d/.test(own)) ? begunBy(own) : [];
        begins.forEach(function (at) { mark(at, 2, into); });
        if (exact.length + begins.length > 0) return;
        var slips = near(own);
        if (slips.length === 0 && singular(own) !== own) slips = exactly(singular(own));
        slips.forEach(function (at) { mark(at, 2, into); });
        if (slips.length > 0) {
          said.push("`" + own + "` is nowhere; searched " + slips.slice(0, 3).map(function (at) { return "`" + words[at] + "`"; }).join(", "));
        } else if (!(isLast && own.length < 3)) {
          said.push("`" + own + "` is nowhere");
        }
      }
      for (var at = 0; at < wanted.length;) {
        var same = others(wanted, at), length = Math.max(same.length, 1);
        best.fill(0);
        var quiet = said.length;
        for (var step = 0; step < length; step++) {
          var own = length === 1 ? best : new Uint8Array(count);
          word(wanted[at + step], at + step === wanted.length - 1, own);
          if (length > 1) {
            for (var page = 0; page < count; page++) best[page] = step === 0 ? own[page] : best[page] && own[page] ? Math.min(best[page], own[page]) : 0;
          }
        }
        same.ways.forEach(function (way) {
          var all = new Uint8Array(count);
          way.forEach(function (own, step) {
            var one = step === 0 ? all : new Uint8Array(count);
            exactly(own).forEach(function (found) { mark(found, 1, one); });
            if (step > 0) for (var page = 0; page < count; page++) all[page] = all[page] && one[page] ? Math.min(all[page], one[page]) : 0;
          });
          var any = false;
          for (var page = 0; page < count; page++) if (all[page]) { any = true; if (best[page] < all[page]) best[page] = all[page]; }
          if (any) said.length = quiet;
        });
        for (var page = 0; page < count; page++) if (best[page]) { hits[page]++; score[page] += best[page]; }
        units++;
        at += length;
      }
      var most = 0, found = 0, byScore = [], pages = [];
      for (var page = 0; page < count; page++) if (hits[page] > most) most = hits[page];
      for (page = 0; most > 0 && page < count; page++) {
        if (hits[page] !== most) continue;
        found++;
        // Of a score, those that come first are enough.
        var own = byScore[score[page]] || (byScore[score[page]] = []);
        if (own.length < MOST) own.push(page);
      }
      for (var rank = byScore.length - 1; rank >= 0 && pages.length < MOST; rank--) {
        if (byScore[rank]) pages = pages.concat(byScore[rank]);
      }
      return { pages: pages.slice(0, MOST), found: found, said: said, all: most === units };
    };
  }

  // How many are shown: more than anyone reads standing.
  var MOST = 30;

  function search() {
    var form = document.getElementById("search");
    if (!form || typeof bookSearch === "undefined") return;
    var input = document.getElementById("words");
    var said = document.getElementById("said");
    var list = document.getElementById("found");
    var today = document.getElementById("today");
    var engine = new Search(bookSearch);
    engine.readAhead();
    form.hidden = false;
    document.getElementById("unscripted").hidden = true;
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      var link = list.querySelector("a");
      if (link) link.focus();
    });
    function show() {
      var text = input.value.trim();
      list.textContent = "";
      today.hidden = text !== "";
      said.textContent = "";
      if (text === "") return;
      var answer = engine.find(text);
      var words = answer.said.slice();
      if (answer.pages.length === 0) {
        if (words.length === 0) words.push("nothing found");
      } else if (!answer.all) {
        words.push("no page has all the words; these have some");
      } else if (answer.found > MOST) {
        words.push(MOST + " of " + answer.found + " pages");
      } else {
        words.push(answer.found + (answer.found === 1 ? " page" : " pages"));
      }
      said.textContent = words.join("; ");
      answer.pages.forEach(function (number) {
        var page = bookSearch.pages[number];
        var item = document.createElement("li");
        var link = document.createElement("a");
        link.href = page[3];
        link.textContent = page[1];
        var about = document.createElement("span");
        about.textContent = bookSearch.kinds[page[0]] + (page[2] ? ": " + page[2] : "");
        item.append(link, about);
        list.append(item);
      });
    }
    // The question stands in the address, so that it is there again on the way back.
    function asked() {
      try { return decodeURIComponent(location.hash.slice(1)); } catch (_) { return ""; }
    }
    input.addEventListener("input", function () {
      show();
      try { history.replaceState(null, "", input.value ? "#" + encodeURIComponent(input.value) : location.pathname + location.search); } catch (_) { /* not on this device */ }
    });
    function restore() {
      if (location.hash !== "#content") input.value = asked();
      show();
    }
    window.addEventListener("hashchange", restore);
    restore();
  }

  ticks();
  search();
})();
