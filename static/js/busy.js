/* A form that takes a while says so and is sent once. */
(function () {
  "use strict";
  document.addEventListener("submit", function (event) {
    const button = event.target.querySelector("button[data-busy]");
    if (!button) return;
    if (button.getAttribute("aria-disabled") === "true") {
      event.preventDefault();
      return;
    }
    button.dataset.idle = button.textContent;
    button.textContent = button.dataset.busy;
    button.setAttribute("aria-disabled", "true");
  });
  // Back from the next page, the form may be sent again.
  window.addEventListener("pageshow", function () {
    document.querySelectorAll("button[data-idle]").forEach(function (button) {
      button.textContent = button.dataset.idle;
      button.removeAttribute("aria-disabled");
      delete button.dataset.idle;
    });
  });
})();
