/* Taps on the drawing pin a damage: a ghost at once, the pin itself when the shop has answered.
   A finger's second tap at once comes closer instead (closer.js); two fingers, and one that slips, pin nothing.
   Arrow keys walk from part to part; Enter pins at a part's middle. */
(function () {
  "use strict";
  const SVG = "http://www.w3.org/2000/svg";
  const FIRST = '[data-region="edge-right-1"]';
  const SLIP_PX = 12;
  const DOUBLE_TAP_MS = 600;
  const SECOND_TAP_MS = 300;
  let pressed = null;
  let waiting = 0;
  let lifted = -Infinity;
  let last = { time: -Infinity, x: 0, y: 0 };
  let focused = null;

  const OWN = "[data-pin], [data-mark-x]";
  function figureOf(target) { return target instanceof Element ? target.closest("[data-drawing]") : null; }
  function sheetOf(figure) { return figure.querySelector("svg"); }

  function metres(svg, clientX, clientY) {
    return new DOMPoint(clientX, clientY).matrixTransform(svg.getScreenCTM().inverse());
  }

  function clearGhost() {
    document.querySelectorAll(".ghost").forEach(function (ghost) { ghost.remove(); });
  }

  function showGhost(figure, at) {
    clearGhost();
    const svg = sheetOf(figure);
    const perPixel = 1 / svg.getScreenCTM().a;
    const ghost = document.createElementNS(SVG, "g");
    ghost.setAttribute("class", "ghost");
    [["ghost-ring", 15], ["ghost-knot", 5]].forEach(function (part) {
      const circle = document.createElementNS(SVG, "circle");
      circle.setAttribute("class", part[0]);
      circle.setAttribute("cx", at.x);
      circle.setAttribute("cy", at.y);
      circle.setAttribute("r", part[1] * perPixel);
      ghost.append(circle);
    });
    svg.append(ghost);
  }

  /* Not crypto.randomUUID: the shop's tablets often reach it without TLS. */
  function newKey() {
    return Array.from(crypto.getRandomValues(new Uint32Array(3)), function (n) { return n.toString(36); }).join("-");
  }

  function send(figure, at) {
    const moving = figure.hasAttribute("data-moving");
    const form = figure.querySelector("[data-place-form]") || figure.querySelector(moving ? "[data-move-form]" : "[data-pin-form]");
    if (!form || form.classList.contains("htmx-request")) return;
    form.elements.x.value = at.x.toFixed(4);
    form.elements.y.value = at.y.toFixed(4);
    if (form.elements.key) form.elements.key.value = newKey();
    showGhost(figure, at);
    form.requestSubmit();
  }

  function isDoubleTap(event) {
    const near = Math.hypot(event.clientX - last.x, event.clientY - last.y) < 2 * SLIP_PX;
    const soon = event.timeStamp - last.time < DOUBLE_TAP_MS;
    last = { time: event.timeStamp, x: event.clientX, y: event.clientY };
    return near && soon;
  }

  function openPin(target) {
    const pin = target.closest("[data-pin]");
    const tab = pin && document.querySelector('[data-tab="' + pin.dataset.pin + '"]');
    if (tab) tab.click();
    return Boolean(tab);
  }

  document.addEventListener("pointerdown", function (event) {
    const figure = figureOf(event.target);
    if (!figure || event.button !== 0 || !event.target.closest("svg")) return;
    if (!event.isPrimary) { slip(); return; }
    if (event.target.closest(OWN)) return;
    pressed = { x: event.clientX, y: event.clientY };
    showGhost(figure, metres(sheetOf(figure), event.clientX, event.clientY));
  });
  document.addEventListener("pointermove", function (event) {
    if (pressed && Math.hypot(event.clientX - pressed.x, event.clientY - pressed.y) > SLIP_PX) slip();
  });
  document.addEventListener("pointercancel", function (event) {
    if (lifted === Infinity) lifted = event.timeStamp;
    pressed = null;
    clearGhost();
  });

  /* Where a finger went elsewhere, or another joined it, nothing was tapped: the click that follows counts for nothing. */
  function slip() { pressed = null; lifted = Infinity; clearGhost(); }

  /* Not on click: when an answer redraws the sheet under the finger, the browser makes no click of that tap. */
  document.addEventListener("pointerup", function (event) {
    const figure = document.querySelector("[data-drawing]");
    if (lifted === Infinity && event.isPrimary) lifted = event.timeStamp;
    if (!pressed || !figure) return;
    pressed = null;
    lifted = event.timeStamp;
    const again = isDoubleTap(event);
    const at = metres(sheetOf(figure), event.clientX, event.clientY);
    if (again) twice(figure, event);
    else if (event.pointerType === "touch" && figure.hasAttribute("data-closer")) waiting = setTimeout(tapped, SECOND_TAP_MS, at);
    else send(figure, at);
  });
  function tapped(at) {
    const figure = document.querySelector("[data-drawing]");
    waiting = 0;
    if (figure) send(figure, at);
  }
  /* While the first tap still waits, both together mean closer; later the second is only one too many. */
  function twice(figure, event) {
    clearGhost();
    if (!waiting) return;
    clearTimeout(waiting);
    waiting = 0;
    sheetOf(figure).dispatchEvent(new CustomEvent("drawing:twice", { bubbles: true, detail: { x: event.clientX, y: event.clientY } }));
  }

  /* What is left for click: tags, keys, and whatever else reaches a part of the drawing without a finger. */
  document.addEventListener("click", function (event) {
    const figure = figureOf(event.target);
    if (!figure || !event.target.closest("svg") || event.target.closest("[data-mark-x]")) return;
    event.preventDefault();
    if (event.timeStamp - lifted < DOUBLE_TAP_MS) return;
    const region = event.target.closest("[data-region]");
    if (openPin(event.target) || !region) return;
    send(figure, { x: parseFloat(region.dataset.x), y: parseFloat(region.dataset.y) });
  });

  document.addEventListener("click", function (event) {
    const button = event.target.closest("[data-move]");
    const figure = button && document.querySelector("[data-drawing]");
    if (!figure) return;
    event.preventDefault();
    const moving = figure.toggleAttribute("data-moving");
    button.setAttribute("aria-pressed", String(moving));
    if (moving) figure.scrollIntoView({ block: "nearest" });
  });

  /* The line is gone: the ghost stays, so that the place is not forgotten; anything else takes it away. */
  document.addEventListener("htmx:afterRequest", function (event) {
    if (event.detail.xhr && event.detail.xhr.status && event.detail.requestConfig.elt.matches(".taps")) clearGhost();
  });
  /* The drawing stays when its pins are drawn anew; what was to be moved is moved, or left. */
  document.addEventListener("htmx:beforeSwap", function (event) {
    const figure = document.querySelector("[data-drawing]");
    if (figure && event.detail.target.id === "panel") figure.removeAttribute("data-moving");
  });

  const KEYS = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down" };
  document.addEventListener("keydown", function (event) {
    const region = event.target instanceof Element && event.target.closest("[data-region]");
    if (!region || !KEYS[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const pairs = (region.dataset.neighbours || "").split(" ").map(function (pair) { return pair.split(":"); });
    const next = pairs.find(function (pair) { return pair[0] === KEYS[event.key]; });
    const there = next && region.ownerSVGElement.querySelector('[data-region="' + CSS.escape(next[1]) + '"]');
    if (there) walkTo(there);
  });

  /* One part of the drawing is in the order of the Tab key; arrows reach the others. */
  function walkTo(region) {
    region.ownerSVGElement.querySelectorAll("[data-region]").forEach(function (one) { one.setAttribute("tabindex", one === region ? "0" : "-1"); });
    region.focus();
  }
  function rove() {
    document.querySelectorAll("[data-drawing] svg").forEach(function (svg) {
      const regions = Array.from(svg.querySelectorAll("[data-region]"));
      const kept = regions.find(function (one) { return one.dataset.region === focused; }) ||
        svg.querySelector(FIRST) || regions[0];
      regions.forEach(function (one) { one.setAttribute("tabindex", one === kept ? "0" : "-1"); });
    });
  }
  document.addEventListener("focusin", function (event) {
    const region = event.target instanceof Element && event.target.closest("[data-region]");
    if (region) focused = region.dataset.region;
  });

  /* A fresh pin's questions come next: keyboard and screen reader go there, and a phone scrolls there. */
  document.addEventListener("htmx:afterSettle", function () {
    rove();
    const fresh = document.querySelector("[data-fresh]");
    if (fresh) { fresh.removeAttribute("data-fresh"); fresh.focus(); }
  });
  document.addEventListener("htmx:oobAfterSwap", rove);
  document.addEventListener("DOMContentLoaded", rove);

  /* What somebody opened stays open when the verdict is written anew. */
  const opened = new Set();
  document.addEventListener("toggle", function (event) {
    const name = event.target.dataset && event.target.dataset.keepOpen;
    if (name) opened[event.target.open ? "add" : "delete"](name);
  }, true);
  document.addEventListener("htmx:afterSwap", function () {
    document.querySelectorAll("details[data-keep-open]").forEach(function (one) { if (opened.has(one.dataset.keepOpen)) one.open = true; });
  });
})();
