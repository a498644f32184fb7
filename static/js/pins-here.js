/* At the check-in desk without a line: each tap on the drawing stays marked and is kept, its kind can be said
   already, and it can be taken away again. Once the line is back they are pinned in their order. */
(function () {
  "use strict";
  const SVG = "http://www.w3.org/2000/svg";
  const kept = window.shopKept;

  function form() { return document.querySelector("[data-pin-form]"); }
  function here() {
    const own = form();
    return own ? kept.pins().filter(function (pin) { return pin.action === own.getAttribute("action"); }) : [];
  }

  function keep(event) {
    const own = event.detail.elt;
    if (!own.matches("[data-pin-form]") || !document.body.dataset.keeper) return;
    const key = own.elements.key.value;
    if (here().some(function (pin) { return pin.key === key; })) return;
    try {
      kept.putPin({ key: key, person: document.body.dataset.keeper, action: own.getAttribute("action"), page: location.pathname, x: own.elements.x.value, y: own.elements.y.value, kind: "", at: Date.now() });
    } catch (full) { /* The ghost is still there, and so is the way to try it again. */ }
    show();
  }

  function mark(svg, pin, number) {
    const perPixel = 1 / svg.getScreenCTM().a, group = document.createElementNS(SVG, "g");
    group.setAttribute("class", "ghost-kept");
    [["ghost-ring", 15], ["ghost-knot", 5]].forEach(function (part) {
      const circle = document.createElementNS(SVG, "circle"), at = { class: part[0], cx: pin.x, cy: pin.y, r: part[1] * perPixel };
      Object.keys(at).forEach(function (name) { circle.setAttribute(name, at[name]); });
      group.append(circle);
    });
    const words = document.createElementNS(SVG, "title");
    words.textContent = say("Pin %(number)s waits for the line", { number: number });
    group.append(words);
    svg.append(group);
  }

  function row(pin, number) {
    const item = document.querySelector("[data-pin-row]").content.firstElementChild.cloneNode(true);
    item.dataset.key = pin.key;
    item.querySelector("[data-pin-number]").textContent = say("Pin %(number)s", { number: number });
    item.querySelector("select").value = pin.kind;
    item.querySelector("[data-pin-sentence]").textContent = pin.sentence || "";
    return item;
  }

  function show() {
    const box = document.querySelector("[data-pins-kept]"), svg = document.querySelector("[data-drawing] svg"), pins = here();
    document.querySelectorAll(".ghost-kept").forEach(function (one) { one.remove(); });
    if (!box) return;
    box.hidden = !pins.length;
    const list = box.querySelector("[data-pin-list]");
    list.replaceChildren.apply(list, pins.map(function (pin, at) { return row(pin, at + 1); }));
    if (svg) pins.forEach(function (pin, at) { mark(svg, pin, at + 1); });
  }

  function pinOf(target) {
    const item = target.closest("[data-pins-kept] li");
    return item && kept.pins().find(function (pin) { return pin.key === item.dataset.key; });
  }
  document.addEventListener("change", function (event) {
    const pin = event.target instanceof Element && event.target.matches("[data-pin-kind]") && pinOf(event.target);
    if (!pin) return;
    event.stopPropagation();
    kept.putPin(Object.assign(pin, { kind: event.target.value, sentence: "" }));
    if (navigator.onLine) window.shopPins.sendAll();
  }, true);
  document.addEventListener("click", function (event) {
    const target = event.target instanceof Element ? event.target : null;
    if (target && target.closest("[data-pin-away]")) {
      kept.dropPin(pinOf(target).key);
      document.querySelectorAll(".ghost").forEach(function (ghost) { ghost.remove(); });
      show();
      return;
    }
    /* More than one waits: all of them go, the first one first. */
    if (target && target.closest("[data-line-again]") && here().length > 1) {
      event.stopImmediatePropagation();
      document.getElementById("line").hidden = true;
      window.shopPins.sendAll();
    }
  }, true);

  document.addEventListener("htmx:sendError", keep);
  document.addEventListener("htmx:timeout", keep);
  document.addEventListener("htmx:afterRequest", function (event) {
    const own = event.detail.elt, said = event.detail.requestConfig && event.detail.requestConfig.parameters;
    if (event.detail.successful && own.matches("[data-pin-form]") && said) kept.dropPin(said.key);
  });
  document.addEventListener("htmx:afterSettle", show);
  document.addEventListener("kept:changed", show);
  /* The drawing with the pins as the shop has them; never from under somebody's typing. */
  let waited = here().length > 0;
  document.addEventListener("kept:changed", function () { if (here().length) waited = true; });
  document.addEventListener("pins:sent", function () {
    const typing = document.activeElement && document.activeElement.matches("input, textarea, select");
    if (waited && !here().length && !typing) location.reload();
  });
  show();
})();
