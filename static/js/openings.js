/* On a phone the drawing of the openings is wider than the page: the first opening is brought into sight. */
(function () {
  "use strict";
  function show() {
    document.querySelectorAll(".openings-drawing").forEach(function (box) {
      const slits = Array.from(box.querySelectorAll(".opened-slit"));
      const seen = box.getBoundingClientRect();
      const places = slits.map(function (slit) { return slit.getBoundingClientRect(); });
      if (!places.length || places.some(function (place) { return place.left >= seen.left && place.right <= seen.right; })) return;
      box.scrollLeft += places[0].left + places[0].width / 2 - seen.left - seen.width / 2;
    });
  }
  document.addEventListener("htmx:load", show);
  show();
})();
