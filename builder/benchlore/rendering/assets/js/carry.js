// A choice that goes from page to page: kept where the browser lets pages share, and in the address where it does not.
// Firefox shares sessionStorage and localStorage only within one folder of files opened from disk, so there the choice goes
// along in the address of the link that is followed and is taken out of it on arrival.
(function () {
  "use strict";
  var Benchlore = (window.Benchlore = window.Benchlore || {});

  // `name` in the address, `key` in the `stores` (first the one that counts), `known` makes anything a choice or "",
  // and `none` is the word for "" in an address. Null until something was chosen.
  Benchlore.carry = function (name, key, stores, known, none) {
    function kept() {
      for (var store of stores) {
        try {
          var value = window[store].getItem(key);
          if (value !== null) { return known(value); }
        } catch (refused) { /* the choice then goes by the address alone */ }
      }
      return null;
    }

    function keep(value) {
      chosen = value;
      stores.forEach(function (store) {
        try { window[store].setItem(key, value); } catch (refused) { /* the choice then goes by the address alone */ }
      });
    }

    function arrive() {
      var address = new URL(window.location.href), carried = address.searchParams.get(name);
      if (carried === null) { return; }
      address.searchParams.delete(name);
      try { window.history.replaceState(window.history.state, "", address.href); } catch (refused) { /* it stays in the address */ }
      keep(known(carried));
    }

    function along(event) {
      var link = event.target.closest ? event.target.closest("a[href]") : null;
      if (chosen === null || !link || link.protocol !== "file:" || link.pathname === window.location.pathname) { return; }
      var address = new URL(link.href);
      address.searchParams.set(name, chosen || none);
      link.href = address.href;
    }

    var chosen = kept();
    arrive();
    if (window.location.protocol === "file:") {
      ["click", "auxclick"].forEach(function (way) { document.addEventListener(way, along, true); });
    }
    return { get: function () { return chosen; }, set: keep };
  };
}());
