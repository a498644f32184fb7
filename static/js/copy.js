/* Copies the text of a field to the clipboard, where the browser lets us; the field can be selected without. */
(function () {
  "use strict";
  function offer(root) {
    if (!navigator.clipboard) return;
    root.querySelectorAll("[data-copy][hidden]").forEach(function (button) { button.hidden = false; });
  }
  document.addEventListener("click", function (event) {
    const button = event.target.closest("[data-copy]");
    if (!button) return;
    const field = document.getElementById(button.dataset.copy);
    navigator.clipboard.writeText(field.value).then(
      function () { button.textContent = say("Copied"); },
      function () { field.focus(); field.select(); }
    );
  });
  document.addEventListener("htmx:load", function (event) { offer(event.detail.elt); });
  offer(document);
})();
