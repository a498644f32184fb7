/* What stays in sight beside a longer column: where it is taller than the window, its end does, so that none of it is
   out of reach. Its style sheet reads how tall it is. */
(function () {
  "use strict";
  const seen = new ResizeObserver(function (parts) {
    parts.forEach(function (one) { one.target.style.setProperty("--tall", one.target.offsetHeight + "px"); });
  });
  function watch() { document.querySelectorAll("[data-beside]").forEach(function (part) { seen.observe(part); }); }

  document.addEventListener("htmx:afterSettle", watch);
  watch();
})();
