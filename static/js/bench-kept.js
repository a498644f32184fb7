/* Keeps the bench's job that is open, so that a reload without a line does not take it from under the hands: in
   this tab alone, for this person, without the customer's name and without photos. Gone at the log-out.
   Copied piece by piece whenever the browser has nothing else to do, for a job of many drawings is long and a tap
   must not wait for it; what is left of it is copied when the page is left. */
(function () {
  "use strict";
  const NOT_KEPT = "[data-not-kept], [name=csrfmiddlewaretoken], .bench-shots, .bench-photos";
  const AT_LATEST_MS = 500;
  const keeper = document.body.dataset.keeper;
  let going = null;

  function later(act) {
    if (window.requestIdleCallback) requestIdleCallback(act, { timeout: AT_LATEST_MS });
    else setTimeout(act, 0);
  }

  function bare(part) {
    if (!part || part.matches(NOT_KEPT)) return "";
    const copy = part.cloneNode(true);
    copy.querySelectorAll(NOT_KEPT).forEach(function (each) { each.remove(); });
    if (copy.id === "ticks") copy.dataset.token = "";
    return copy.outerHTML;
  }

  function* pieces(box, job) {
    yield bare(box);
    yield bare(document.querySelector("[data-undo]"));
    const around = job.cloneNode(false).outerHTML, end = around.lastIndexOf("</");
    yield around.slice(0, end);
    for (const part of Array.from(job.children)) yield bare(part);
    yield around.slice(end);
  }

  /* One piece more; false where that was all. */
  function copied(copy) {
    const next = copy.pieces.next();
    if (!next.done) copy.html += next.value;
    return !next.done;
  }

  function goOn(copy) {
    if (going !== copy) return;
    if (copied(copy)) later(function () { goOn(copy); });
    else put(copy);
  }

  function put(copy) {
    going = null;
    const page = { by: keeper, at: copy.at, url: copy.url, html: copy.html };
    try { sessionStorage.setItem("bench-page", JSON.stringify(page)); } catch (full) { sessionStorage.removeItem("bench-page"); }
  }

  function keep() {
    const job = document.getElementById("bench-job"), box = document.getElementById("ticks");
    if (!keeper || !job || !box) return;
    const copy = { at: Date.now(), url: job.dataset.url, html: "", pieces: pieces(box, job) };
    going = copy;
    later(function () { goOn(copy); });
  }

  /* Whoever has logged out meanwhile leaves nothing. */
  function finish() {
    if (!going || window.shopKept.person() !== keeper) return;
    const copy = going;
    while (copied(copy));
    put(copy);
  }
  document.addEventListener("DOMContentLoaded", keep);
  document.addEventListener("ticks:fresh", keep);
  window.addEventListener("pagehide", finish);
})();
