/* Says when the line to the shop is gone, keeps what was typed, and sends it again on request. */
(function () {
  "use strict";
  let troubled = null;
  let waiting = null;

  function show(words) {
    const box = document.getElementById("line");
    if (!box) return;
    box.querySelector("[data-line-words]").textContent = words;
    box.hidden = false;
  }

  document.addEventListener("htmx:sendError", function (event) {
    troubled = waiting = event.detail.elt;
    show(say("The line to the shop is gone. Nothing you typed is lost: try again when it is back."));
  });
  document.addEventListener("htmx:timeout", function (event) {
    troubled = waiting = event.detail.elt;
    show(say("The shop's computer did not answer in time. Nothing you typed is lost: try again."));
  });
  document.addEventListener("htmx:responseError", function (event) {
    const status = event.detail.xhr.status;
    if (status === 401) return;
    troubled = event.detail.elt;
    /* Busy is over soon: the same goes once more on request. */
    waiting = status === 503 ? troubled : null;
    show(event.detail.xhr.getResponseHeader("X-Sentence") ||
      say("That did not work (%(code)s). What you typed is still here; reload the page if it happens again.", { code: status }));
  });
  document.addEventListener("htmx:afterRequest", function (event) {
    if (!event.detail.successful) return;
    /* Another request that came through says nothing of the one that is lost. */
    if (troubled && troubled !== event.detail.elt && document.contains(troubled)) return;
    const box = document.getElementById("line");
    if (box) box.hidden = true;
    troubled = waiting = null;
  });
  document.addEventListener("click", function (event) {
    if (!event.target.closest("[data-line-again]")) return;
    document.getElementById("line").hidden = true;
    if (!waiting || !document.contains(waiting)) return;
    if (waiting.matches("form")) { waiting.requestSubmit(); return; }
    const form = waiting.closest("form");
    /* What saves by itself while a form is filled in saves again; the form is not sent for it. */
    if (waiting.matches("[data-hx-post]") && form) form.dispatchEvent(new Event("change", { bubbles: true }));
    else if (form && form.matches("[data-hx-post]")) form.requestSubmit();
    else waiting.click();
  });
  /* One tap is one tap: a plain form that is on its way does not go twice. */
  document.addEventListener("submit", function (event) {
    const form = event.target;
    if (form.matches("[data-hx-post], [data-hx-get]")) return;
    if (form.dataset.sent) { event.preventDefault(); return; }
    /* Without a line it would lead away from what is typed here. A form that is not sent at all is not meant. */
    if (!navigator.onLine && form.method === "post") {
      event.preventDefault();
      event.stopImmediatePropagation();
      troubled = waiting = form;
      show(say("The line to the shop is gone. Nothing you typed is lost: try again when it is back."));
      return;
    }
    form.dataset.sent = "yes";
    setTimeout(function () { delete form.dataset.sent; }, 8000);
  });
  window.addEventListener("pageshow", function () {
    document.querySelectorAll("form[data-sent]").forEach(function (form) { delete form.dataset.sent; });
  });
})();
