/* Keeps the bench's job that is open, so that a reload without a line does not take it from under the hands: in
   this tab alone, for this person, without the customer's name and without photos. Gone at the log-out. */
(function () {
  "use strict";
  const keeper = document.body.dataset.keeper;

  function keep() {
    const job = document.getElementById("bench-job"), box = document.getElementById("ticks");
    if (!keeper || !job || !box) return;
    const copy = document.createElement("div");
    [box, document.querySelector("[data-undo]"), job].forEach(function (part) { if (part) copy.append(part.cloneNode(true)); });
    copy.querySelectorAll("[data-not-kept], [name=csrfmiddlewaretoken], .bench-shots, .bench-photos").forEach(function (part) { part.remove(); });
    copy.querySelector("#ticks").dataset.token = "";
    const page = { by: keeper, at: Date.now(), url: job.dataset.url, html: copy.innerHTML };
    try { sessionStorage.setItem("bench-page", JSON.stringify(page)); } catch (full) { sessionStorage.removeItem("bench-page"); }
  }
  document.addEventListener("DOMContentLoaded", keep);
  document.addEventListener("ticks:fresh", keep);
})();
