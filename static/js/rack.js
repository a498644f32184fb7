/* Brings the chosen stage into view where the strip is wider than the screen, and keeps what is typed. */
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

  /* The answer brings the field with the text that was asked for: letters typed since then stay and are asked for. */
  let typed = null;
  document.addEventListener("htmx:beforeSwap", function (event) {
    const field = document.getElementById("rack-text");
    typed = field && field.form === event.detail.requestConfig.elt ? field.value : null;
  });
  document.addEventListener("htmx:afterSettle", function () {
    const field = document.getElementById("rack-text");
    if (!field || typed === null || field.value === typed) return;
    field.value = typed;
    typed = null;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
})();
