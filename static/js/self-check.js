/* What a script adds to the self-check: the exact point of a tap on the drawing, and a count of answers read. */
(function () {
  "use strict";
  const SVG = "http://www.w3.org/2000/svg";
  const AROUND = 80;
  const INWARD_M = 0.015;

  /* A tap beside a narrow part counts as one on it: just inside its outline, where that is nearest. */
  function pulledIn(part, point) {
    const length = part.getTotalLength();
    const outline = Array.from({ length: AROUND }, function (_, n) { return part.getPointAtLength(length * n / AROUND); });
    const off = function (on) { return Math.hypot(on.x - point.x, on.y - point.y); };
    const edge = outline.reduce(function (best, on) { return off(on) < off(best) ? on : best; });
    const share = INWARD_M / (off(edge) || 1);
    return new DOMPoint(edge.x + (edge.x - point.x) * share, edge.y + (edge.y - point.y) * share);
  }

  function tapped(spot, event) {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(spot.ownerSVGElement.getScreenCTM().inverse());
    if (!event.target.matches(".room")) return point;
    const outline = event.target.getAttribute("d");
    const part = Array.from(spot.querySelectorAll(".part")).find(function (one) { return one.getAttribute("d") === outline; });
    return pulledIn(part, point);
  }

  function mark(svg, point) {
    const ring = document.createElementNS(SVG, "circle");
    const at = { class: "tapped", cx: point.x, cy: point.y, r: 14 / svg.getScreenCTM().a };
    Object.keys(at).forEach(function (name) { ring.setAttribute(name, at[name]); });
    svg.append(ring);
  }

  document.addEventListener("click", function (event) {
    const spot = event.target instanceof Element && event.target.closest(".half .spot");
    /* A key taps no point: the link itself leads to the innermost part of the place. */
    if (!spot || event.detail === 0 || event.ctrlKey || event.metaKey) return;
    const point = tapped(spot, event);
    const to = new URL(spot.getAttribute("href"), location.href);
    to.searchParams.set("at", point.x.toFixed(2) + "," + point.y.toFixed(2));
    event.preventDefault();
    mark(spot.ownerSVGElement, point);
    location.assign(to.href);
  });
  window.addEventListener("pageshow", function () {
    document.querySelectorAll(".tapped").forEach(function (ring) { ring.remove(); });
  });

  /* Counted once an answer and visit: what was asked, never who asked. */
  document.addEventListener("DOMContentLoaded", function () {
    const answer = document.querySelector("[data-asked]");
    if (!answer || !navigator.sendBeacon) return;
    const key = "asked" + location.search;
    try {
      if (sessionStorage.getItem(key)) return;
      sessionStorage.setItem(key, "1");
    } catch (closed) { return; }
    navigator.sendBeacon(answer.dataset.asked, new URLSearchParams(location.search));
  });
})();
