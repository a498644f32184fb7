/* What waits on this device of the person who works here: gear that was taken in, and damages that were pinned,
   without a line. It is written
   into the device's own store under the person, read anew each time, and gone when the shop has it, when it is
   thrown away, and at the log-out. */
(function () {
  "use strict";
  const STORE = "taken-down", PINS = "pins-kept", PERSON = "works-here";
  const AT_MOST_MS = 12 * 3600 * 1000;
  /* As long as a log-in without a tap: after it nobody is shown anything of anybody. */

  function read(name, none) {
    try { return JSON.parse(localStorage.getItem(name)) || none; } catch (error) { return none; }
  }
  function write(list, name) {
    if (list.length) localStorage.setItem(name || STORE, JSON.stringify(list));
    else localStorage.removeItem(name || STORE);
    document.dispatchEvent(new CustomEvent("kept:changed"));
  }
  function all() { return read(STORE, []); }
  function pins() {
    const id = person();
    return id ? read(PINS, []).filter(function (pin) { return pin.person === id; }) : [];
  }
  function putPin(pin) {
    const list = read(PINS, []), at = list.findIndex(function (one) { return one.key === pin.key; });
    if (at < 0) list.push(pin);
    else list[at] = pin;
    write(list, PINS);
  }
  function dropPin(key) { write(read(PINS, []).filter(function (pin) { return pin.key !== key; }), PINS); }

  function person() {
    const known = read(PERSON, null);
    return known && Date.now() - known.at < AT_MOST_MS ? known.id : "";
  }
  function mine() {
    const id = person();
    return id ? all().filter(function (one) { return one.person === id; }) : [];
  }
  function put(draft) {
    const list = all(), at = list.findIndex(function (one) { return one.key === draft.key; });
    if (at < 0) list.push(draft);
    else list[at] = draft;
    write(list);
  }
  function drop(key) { write(all().filter(function (one) { return one.key !== key; })); }

  /* Whose page the shop has just shown: read without a line, by whoever still holds the device. */
  function worksHere(id) {
    try { if (JSON.parse(sessionStorage.getItem("bench-page")).by !== id) sessionStorage.removeItem("bench-page"); } catch (none) { /* There is no job of the bench here. */ }
    try { localStorage.setItem(PERSON, JSON.stringify({ id: id, at: Date.now() })); } catch (full) { /* Then nothing is kept. */ }
  }
  function leaves() {
    const id = person();
    if (id) {
      write(all().filter(function (one) { return one.person !== id; }));
      write(read(PINS, []).filter(function (pin) { return pin.person !== id; }), PINS);
    }
    nobody();
  }
  function nobody() {
    localStorage.removeItem(PERSON);
    sessionStorage.removeItem("bench-page");
  }

  window.shopKept = {
    store: STORE, pinned: PINS, works: PERSON, pins: pins, putPin: putPin, dropPin: dropPin, person: person, all: all, mine: mine, put: put, drop: drop,
    worksHere: worksHere, leaves: leaves, nobody: nobody,
    get: function (key) { return mine().find(function (one) { return one.key === key; }); },
    newKey: function () {
      return Array.from(crypto.getRandomValues(new Uint32Array(4)), function (n) { return n.toString(36); }).join("-");
    },
  };
})();
