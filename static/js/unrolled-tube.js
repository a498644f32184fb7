/* The damage on its tube rolled out flat: dragged to its face and turned by its handle, by finger, mouse or keys.
   It only answers the questions beneath, as a tap there does; the shop judges and keeps the answer. */
(function () {
  "use strict";
  const SVG = "http://www.w3.org/2000/svg";
  const STEP = 15;
  const RIGHT_ANGLE = 90;
  const HALF = 45;
  const SLIP_PX = 8;
  const REACH_PX = 26;
  const STEM_PX = 60;
  const leans = new Map();
  let drag = null;
  let pressed = null;
  let refocus = "";

  function figure() { return document.getElementById("roll"); }
  function hand(roll) { return roll.querySelector("[data-roll-hand]"); }
  /* What the shop has drawn, and the words for whatever it may become. */
  function facts(roll) {
    const now = JSON.parse(roll.querySelector("[data-now]").dataset.now), said = roll.querySelector("[data-roll-said]");
    now.finding = {};
    now.named = {};
    said.querySelectorAll("[data-finding]").forEach(function (one) { now.finding[one.dataset.finding] = one.textContent; });
    said.querySelectorAll("[data-named]").forEach(function (one) { now.named[one.dataset.named] = one.textContent; });
    now.unsaid = said.querySelector("[data-unsaid]").textContent;
    now.place = said.querySelector("[data-place]").textContent;
    return now;
  }
  function kept(at, low, high) { return Math.min(Math.max(at, low), Math.max(low, high)); }
  function make(name, attributes, parent) {
    const made = document.createElementNS(SVG, name);
    Object.keys(attributes).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    if (parent) parent.append(made);
    return made;
  }

  /* What the questions beneath say now. */
  function radio(roll, name, value) {
    return roll.closest("form").querySelector('input[name="' + name + '"]' + (value === undefined ? ":checked" : '[value="' + value + '"]'));
  }
  function answers(roll, now) {
    const face = radio(roll, "face"), direction = radio(roll, "direction"), steep = radio(roll, "angle_deg");
    const hidden = roll.closest("form").querySelector('input[type="hidden"][name="angle_deg"]');
    const runs = direction ? direction.value : now.direction;
    const degrees = steep ? steep.value : hidden ? hidden.value : now.angle;
    return {
      face: face ? face.value : now.face,
      direction: runs,
      angle: runs === "at an angle" && degrees !== "" && degrees !== null ? Number(degrees) : null,
    };
  }
  function turnOf(now, said) {
    if (!now.turns) return now.fixed[said.face] || 0;
    if (said.direction === "around") return RIGHT_ANGLE;
    if (said.direction === "at an angle") return said.angle === null ? HALF : said.angle;
    return 0;
  }
  function runs(degrees) {
    if (degrees === 0) return { direction: "along", angle: null };
    return degrees === RIGHT_ANGLE ? { direction: "around", angle: null } : { direction: "at an angle", angle: degrees };
  }
  function words(now, said) {
    const finding = now.finding[said.direction] || Object.values(now.finding)[0];
    const steep = said.angle === null ? [] : [said.angle + "°"];
    return [finding].concat(steep, now.named[said.face] || now.unsaid, now.place).join(", ");
  }

  function faceAt(now, share) {
    const band = now.bands[kept(Math.floor(share * now.bands.length), 0, now.bands.length - 1)];
    if (now.faces.includes(band)) return band;
    return now.faces.slice().sort(function (a, b) { return Math.abs(now.lies[a] - share) - Math.abs(now.lies[b] - share); })[0];
  }

  /* The parts that are moved about; made once a panel, filled anew when the shop has drawn the damage anew. */
  function build(roll) {
    const sheet = hand(roll), now = facts(roll);
    sheet.hidden = false;
    sheet.removeAttribute("hidden");
    roll.dataset.live = "";
    roll.querySelector("[data-roll-how]").hidden = false;
    sheet.setAttribute("viewBox", "0 0 " + now.wide + " " + now.tall);
    if (!sheet.querySelector("[data-roll-body]")) {
      make("rect", { class: "roll-here" }, sheet);
      make("g", { id: "roll-body", class: "roll-body", "data-roll-body": "" }, sheet);
      [-1, 1].forEach(function () { make("use", { href: "#roll-body", class: "roll-again" }, sheet); });
      const grip = make("g", { class: "roll-grip", "data-roll-grip": "", role: "slider", tabindex: "0", "aria-orientation": "vertical", "aria-label": sheet.dataset.faceLabel }, sheet);
      make("circle", { class: "roll-reach" }, grip);
      if (now.turns) turner(sheet);
    }
    const drawn = roll.querySelector(".roll-kept > *").cloneNode(true);
    sheet.querySelector("[data-roll-body]").replaceChildren(drawn);
    return sheet;
  }
  function turner(sheet) {
    const turn = make("g", { class: "roll-turn", "data-roll-turn": "", role: "slider", tabindex: "0", "aria-valuemin": "0", "aria-valuemax": "90", "aria-label": sheet.dataset.turnLabel }, sheet);
    make("line", { class: "roll-stem" }, turn);
    make("circle", { class: "roll-reach" }, turn);
    make("circle", { class: "roll-knob" }, turn);
    make("path", { class: "roll-arrows", d: "M-5.5 -3.5A6.5 6.5 0 1 1 -5.5 3.5M-9 -3.5h4v-4" }, turn);
  }

  function show(roll, moved) {
    const sheet = hand(roll), now = facts(roll);
    const said = Object.assign(answers(roll, now), moved || {});
    const unsaid = !(said.face in now.lies);
    const share = said.share === undefined ? now.lies[unsaid ? "top" : said.face] : said.share;
    const lean = leans.get(now.number) || 1, turn = turnOf(now, said);
    const mm = now.wide / sheet.getBoundingClientRect().width, y = share * now.tall;
    const open = unsaid || (now.turns && said.direction === "not said");
    sheet.querySelector("[data-roll-body]").setAttribute("transform", "translate(" + now.x + " " + y + ") rotate(" + -lean * turn + ")");
    sheet.querySelectorAll("use").forEach(function (again, n) { again.setAttribute("y", (n ? 1 : -1) * now.tall); });
    sheet.toggleAttribute("data-unsaid", open);
    const here = sheet.querySelector(".roll-here");
    here.toggleAttribute("hidden", unsaid);
    here.setAttribute("width", now.wide);
    here.setAttribute("height", now.tall / now.bands.length);
    here.setAttribute("y", Math.max(now.bands.indexOf(said.face), 0) * now.tall / now.bands.length);
    placeGrip(sheet, now, said, y, mm);
    if (now.turns) placeTurner(roll, sheet, now, said, { y: y, mm: mm, turn: turn, lean: lean });
    roll.querySelector("[data-roll-words]").textContent = words(now, said);
  }
  function placeGrip(sheet, now, said, y, mm) {
    const grip = sheet.querySelector("[data-roll-grip]"), at = now.faces.indexOf(said.face);
    const reach = grip.querySelector(".roll-reach");
    grip.setAttribute("transform", "translate(" + now.x + " " + y + ")");
    reach.setAttribute("r", REACH_PX * mm);
    grip.setAttribute("aria-valuemin", "1");
    grip.setAttribute("aria-valuemax", now.faces.length);
    grip.setAttribute("aria-valuenow", at + 1 || 1);
    grip.setAttribute("aria-valuetext", now.named[said.face] || now.unsaid);
  }
  /* The handle sits beyond the right end of the damage; at the other where there is no room. */
  function placeTurner(roll, sheet, now, said, at) {
    const far = kept(now.length / 2 + 1.4 * REACH_PX * at.mm, STEM_PX * at.mm, 0.3 * now.tall);
    const way = at.turn * Math.PI / 180, room = REACH_PX * at.mm;
    let dx = far * Math.cos(way), dy = -at.lean * far * Math.sin(way);
    const off = function (x, y) { return Math.max(0, room - x, x + room - now.wide) + Math.max(0, room - y, y + room - now.tall); };
    const turned = drag && drag.what === "turn" ? drag.dx * dx + drag.dy * dy < 0 : off(now.x + dx, at.y + dy) > off(now.x - dx, at.y - dy);
    if (turned) { dx = -dx; dy = -dy; }
    const turn = sheet.querySelector("[data-roll-turn]"), stem = turn.querySelector("line");
    turn.setAttribute("transform", "translate(" + (now.x + dx) + " " + (at.y + dy) + ") scale(" + at.mm + ")");
    stem.setAttribute("x1", -dx / at.mm);
    stem.setAttribute("y1", -dy / at.mm);
    turn.querySelector(".roll-reach").setAttribute("r", REACH_PX);
    turn.querySelector(".roll-knob").setAttribute("r", 17);
    turn.setAttribute("aria-valuenow", at.turn);
    const card = radio(roll, "direction", said.direction);
    turn.setAttribute("aria-valuetext", (card ? card.closest("label").textContent.trim() : said.direction) + (said.angle === null ? "" : " " + said.angle + "°"));
  }

  /* The same fields as a tap on the questions beneath sets; how steep is asked for only once it is known to be. */
  function settle(roll, face, way) {
    const before = answers(roll, facts(roll));
    const cards = [];
    if (face && face !== before.face) cards.push(radio(roll, "face", face));
    if (way && (way.direction !== before.direction || way.angle !== before.angle)) {
      cards.push(radio(roll, "direction", way.direction));
      if (way.angle !== null) cards.push(steep(roll, String(way.angle)));
    }
    const there = cards.filter(Boolean);
    if (!there.length) { show(roll); return; }
    there.forEach(function (card) { if (card.type === "radio") card.checked = true; });
    show(roll);
    there[0].dispatchEvent(new Event("change", { bubbles: true }));
  }
  function steep(roll, degrees) {
    const form = roll.closest("form"), card = radio(roll, "angle_deg", degrees);
    form.querySelectorAll('input[type="hidden"][name="angle_deg"]').forEach(function (one) { one.remove(); });
    if (card) return card;
    const hidden = document.createElement("input");
    hidden.type = "hidden";
    hidden.name = "angle_deg";
    hidden.value = degrees;
    form.append(hidden);
    return hidden;
  }

  function at(roll, event) {
    const box = hand(roll).getBoundingClientRect();
    return { x: (event.clientX - box.left) / box.width, y: (event.clientY - box.top) / box.height };
  }
  function turnTo(roll, event) {
    const now = facts(roll), said = answers(roll, now), where = at(roll, event);
    const y = now.lies[said.face in now.lies ? said.face : "top"] * now.tall;
    const dx = where.x * now.wide - now.x, dy = where.y * now.tall - y;
    const degrees = Math.round(Math.atan2(Math.abs(dy), Math.abs(dx)) * 180 / Math.PI / STEP) * STEP;
    if (degrees % RIGHT_ANGLE) leans.set(now.number, dx * dy > 0 ? -1 : 1);
    Object.assign(drag, { dx: dx, dy: dy });
    return runs(degrees);
  }

  document.addEventListener("pointerdown", function (event) {
    const roll = figure(), sheet = roll && event.target instanceof Element && event.target.closest("[data-roll-hand]");
    if (!sheet || event.button !== 0 || !event.isPrimary) return;
    const grip = event.target.closest("[data-roll-grip]"), turn = event.target.closest("[data-roll-turn]");
    pressed = { x: event.clientX, y: event.clientY };
    refocus = "";
    if (!grip && !turn) return;
    event.preventDefault();
    drag = { what: turn ? "turn" : "face", slipped: false, way: null, face: "", dx: 1, dy: 0 };
    sheet.setPointerCapture(event.pointerId);
    sheet.dataset.held = drag.what;
  });

  /* What is held does not scroll the page. */
  document.addEventListener("touchstart", function (event) {
    if (event.target instanceof Element && event.target.closest("[data-roll-grip], [data-roll-turn]") && event.cancelable) event.preventDefault();
  }, { passive: false });

  document.addEventListener("pointermove", function (event) {
    const roll = figure();
    if (!pressed || !roll || !event.isPrimary) return;
    const slipped = Math.hypot(event.clientX - pressed.x, event.clientY - pressed.y) > SLIP_PX;
    if (!drag) { if (slipped) pressed = null; return; }
    drag.slipped = drag.slipped || slipped;
    if (!drag.slipped) return;
    if (drag.what === "turn") {
      drag.way = turnTo(roll, event);
      show(roll, drag.way);
    } else {
      const share = kept(at(roll, event).y, 0, 1);
      drag.face = faceAt(facts(roll), share);
      show(roll, { face: drag.face, share: share });
    }
  });

  document.addEventListener("pointerup", function (event) {
    const roll = figure(), was = drag;
    if (!pressed || !roll || !event.isPrimary) return;
    pressed = drag = null;
    delete hand(roll).dataset.held;
    if (!was) settle(roll, faceAt(facts(roll), kept(at(roll, event).y, 0, 1)), null);
    else if (was.slipped) settle(roll, was.face, was.way);
    else if (was.what === "face") settle(roll, faceAt(facts(roll), kept(at(roll, event).y, 0, 1)), null);
  });
  document.addEventListener("pointercancel", function () {
    const roll = figure();
    pressed = drag = null;
    if (roll && "live" in roll.dataset) { delete hand(roll).dataset.held; show(roll); }
  });

  const KEYS = { ArrowUp: -1, ArrowLeft: -1, ArrowDown: 1, ArrowRight: 1, Home: 0, End: 0 };
  document.addEventListener("keydown", function (event) {
    const roll = figure(), part = event.target instanceof Element && event.target.closest("[data-roll-grip], [data-roll-turn]");
    if (!roll || !part || !(event.key in KEYS) || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const now = facts(roll), said = answers(roll, now), by = KEYS[event.key];
    refocus = part.hasAttribute("data-roll-turn") ? "[data-roll-turn]" : "[data-roll-grip]";
    if (refocus === "[data-roll-grip]") {
      const here = now.faces.indexOf(said.face), last = now.faces.length - 1;
      const next = event.key === "Home" ? 0 : event.key === "End" ? last : (here + by + now.faces.length) % now.faces.length;
      settle(roll, now.faces[here < 0 && by ? now.faces.indexOf("top") : next], null);
      return;
    }
    const up = event.key === "ArrowUp" || event.key === "ArrowRight" ? STEP : -STEP;
    const open = said.direction === "not said";
    settle(roll, "", runs(event.key === "Home" || open ? 0 : event.key === "End" ? RIGHT_ANGLE : kept(turnOf(now, said) + up, 0, RIGHT_ANGLE)));
  });

  function ready() {
    const roll = figure();
    if (!roll || drag) return;
    build(roll);
    show(roll);
    if (refocus && (!document.activeElement || document.activeElement === document.body)) {
      const part = roll.querySelector(refocus);
      if (part) part.focus({ preventScroll: true });
    }
  }
  document.addEventListener("change", function (event) {
    const roll = figure();
    if (roll && "live" in roll.dataset && roll.closest("form") === event.target.form) show(roll);
  });
  document.addEventListener("focusin", function (event) {
    if (!event.target.closest("[data-roll-hand]")) refocus = "";
  });
  window.addEventListener("resize", function () { if (figure()) show(figure()); });
  document.addEventListener("DOMContentLoaded", ready);
  /* Before the page looks for another place for the focus (focus.js). */
  document.addEventListener("htmx:afterSwap", ready);
  document.addEventListener("htmx:afterSettle", ready);
  document.addEventListener("htmx:oobAfterSwap", ready);
})();
