/* Arrow keys go from the search field into what was found and back; Escape empties the field. */
(function () {
  "use strict";
  function targets() { return Array.from(document.querySelectorAll("#found a, #found button")); }

  document.addEventListener("keydown", function (event) {
    const field = document.getElementById("find");
    const inside = event.target === field || (event.target instanceof Element && event.target.closest("#found"));
    if (!field || !inside || (event.key !== "ArrowDown" && event.key !== "ArrowUp")) return;
    const order = [field].concat(targets());
    const next = order[order.indexOf(event.target) + (event.key === "ArrowDown" ? 1 : -1)];
    if (!next) return;
    event.preventDefault();
    next.focus();
  });
})();
