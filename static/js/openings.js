/* On a phone the drawing of the openings is wider than the page: the first opening is brought into sight, and the
   name of a tube stays there while the drawing moves beneath it. */
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
  function name(box) {
    const drawing = box.querySelector("svg");
    const scale = drawing ? drawing.viewBox.baseVal.width / drawing.getBoundingClientRect().width : 1;
    box.querySelectorAll(".opened-name").forEach(function (words) {
      words.setAttribute("transform", "translate(" + box.scrollLeft * scale + " 0)");
    });
  }
  document.addEventListener("scroll", function (event) {
    if (event.target.classList && event.target.classList.contains("openings-drawing")) name(event.target);
  }, { capture: true, passive: true });
  document.addEventListener("htmx:load", show);
  show();
})();
