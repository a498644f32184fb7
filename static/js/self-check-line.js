/* Puts the self-check on the phone once its first page is there, so that it answers without a line. */
(function () {
  "use strict";
  const worker = document.body.dataset.worker;
  if (!navigator.serviceWorker || !worker) return;
  window.addEventListener("load", function () {
    navigator.serviceWorker.register(worker)
      .then(function () { return navigator.serviceWorker.ready; })
      .then(function (kept) { kept.active.postMessage({ language: document.documentElement.lang }); })
      .catch(function () { /* A browser that refuses goes on with a line. */ });
  });
})();
