/* Brings the chosen stage into view where the strip is wider than the screen. */
(function () {
  "use strict";
  function show() {
    const strip = document.querySelector(".stages");
    const chosen = strip && strip.querySelector("[aria-current]");
    if (!chosen || strip.scrollWidth <= strip.clientWidth) return;
    strip.scrollLeft = chosen.offsetLeft - (strip.clientWidth - chosen.offsetWidth) / 2;
  }
  /* Once the first picture stands: asked before it, the browser would lay out the whole rack to answer. */
  document.addEventListener("DOMContentLoaded", function () {
    requestAnimationFrame(function () { setTimeout(show); });
  });
  document.addEventListener("htmx:afterSettle", show);
})();
