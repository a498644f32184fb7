/* Whoever works by keyboard or hears the page stays where they were when a part of it is written anew: where the
   answer has no place for the focus, it goes to what the new part says first. */
(function () {
  "use strict";
  const SAYS = "[autofocus], .notice, h1, h2, h3";
  const STOPS = "a[href], button, summary, input, select, textarea, [tabindex]";
  const WRONG = ":is(.field, .question):has(.error:not(:empty)) :is(input, select, textarea)";
  let within = null;

  function isLost() { return !document.activeElement || document.activeElement === document.body; }
  function partOf(target) { return target.id && document.getElementById(target.id) || (document.contains(target) ? target : null); }

  /* For a part that is fetched anew as it stands: asked before, and called with what stands there afterwards. */
  window.keepPlace = function (part) {
    const had = part.contains(document.activeElement) ? document.activeElement : null;
    const box = had && had.closest("[id]");
    const place = had && Array.from(box.querySelectorAll(STOPS)).indexOf(had);
    return function (fresh) {
      if (!had || !isLost()) return;
      const there = document.getElementById(box.id);
      const same = there && (there.querySelectorAll(STOPS)[place] || there);
      const title = Array.from(fresh.querySelectorAll("h1")).find(function (one) { return one.checkVisibility(); });
      const next = same && same.checkVisibility() ? same : title;
      if (next) next.focus({ preventScroll: true });
    };
  };

  document.addEventListener("htmx:beforeSwap", function (event) {
    within = isLost() && event.detail.xhr.status !== 422 ? null : event.detail.target;
  });
  function firstOf(part, what) { return Array.from(part.querySelectorAll(what)).find(function (one) { return one.checkVisibility(); }); }

  document.addEventListener("htmx:afterSettle", function (event) {
    const part = within && partOf(within);
    if (!part) return;
    /* A form that was sent and refused: what is wrong comes next. What saves by itself leaves one where one is. */
    const by = event.detail.requestConfig && event.detail.requestConfig.triggeringEvent;
    const refused = event.detail.xhr && event.detail.xhr.status === 422 && by && by.type === "submit";
    const wrong = refused && (firstOf(part, "[aria-invalid=true]") || firstOf(by.target, WRONG));
    if (!wrong && !isLost()) return;
    within = null;
    const first = wrong || firstOf(part, SAYS) || part;
    if (first.tabIndex < 0) first.setAttribute("tabindex", "-1");
    first.focus({ preventScroll: true });
  });
})();
