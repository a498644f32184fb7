/* What is kept of the bench's ticks on the device: those that wait to be sent, those that the shop refused, and
   those that meet what somebody else has done. Read anew each time: another tab may have sent some of it. */
(function () {
  "use strict";
  const WAITING = "bench-ticks", REFUSED = "bench-ticks-refused", CLASHES = "bench-ticks-clashes";

  function read(name) {
    try { return JSON.parse(localStorage.getItem(name)) || []; } catch (error) { return []; }
  }
  function write(name, list) { localStorage.setItem(name, JSON.stringify(list)); }

  window.shopTicks = {
    names: [WAITING, REFUSED, CLASHES],
    waiting: function () { return read(WAITING); },
    refused: function () { return read(REFUSED); },
    clashes: function () { return read(CLASHES); },
    keep: function (tick) { write(WAITING, read(WAITING).concat([tick])); },
    refuse: function (tick) { write(REFUSED, read(REFUSED).concat([tick])); },
    clash: function (one) { write(CLASHES, read(CLASHES).concat([one])); },
    drop: function (key) { write(WAITING, read(WAITING).filter(function (tick) { return tick.key !== key; })); },
    settle: function (key) { write(CLASHES, read(CLASHES).filter(function (one) { return one.key !== key; })); },
    seen: function (person) { write(REFUSED, read(REFUSED).filter(function (tick) { return tick.person !== person; })); },
    /* Whether anything can be kept here at all. */
    works: function () { try { write(WAITING, read(WAITING)); return true; } catch (error) { return false; } },
    newKey: function () {
      return Array.from(crypto.getRandomValues(new Uint32Array(4)), function (n) { return n.toString(36); }).join("-");
    },
  };
})();
