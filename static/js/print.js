/* A button that prints the page; without programs the browser's own menu does, so it is only shown with them. */
(function () {
  "use strict";
  document.querySelectorAll("[data-print][hidden]").forEach(function (button) {
    button.hidden = false;
    button.addEventListener("click", function () { window.print(); });
  });
})();
