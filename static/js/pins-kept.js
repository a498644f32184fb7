/* Damages that were pinned while the line was gone: sent from any page in the order of the taps, each under the
   key of its tap, so that what the shop has pinned already is not pinned twice. What the shop refuses stays, with
   its sentence. */
(function () {
  "use strict";
  const PATIENCE_MS = 15000, AGAIN_MS = 15000;
  const kept = window.shopKept;
  let sending = false, timer = null;

  function ready() { return kept.pins().filter(function (pin) { return !pin.sentence; }); }

  /* Whether it got through: pinned, or refused for a reason that stays. */
  async function through(pin) {
    const data = new FormData(), stop = new AbortController();
    ["x", "y", "key", "kind"].forEach(function (name) { data.append(name, pin[name] || ""); });
    const impatient = setTimeout(function () { stop.abort(); }, PATIENCE_MS);
    try {
      const answer = await fetch(pin.action, { method: "POST", body: data, headers: { "HX-Request": "true", "X-CSRFToken": window.shopSending.token() }, signal: stop.signal });
      const text = await answer.text();
      if (answer.ok) { kept.dropPin(pin.key); return true; }
      if (answer.status === 422) pin.sentence = new DOMParser().parseFromString(text, "text/html").body.textContent.trim();
      if (answer.status === 404) pin.sentence = say("This job is not there any more.");
      if (pin.sentence) kept.putPin(pin);
      return Boolean(pin.sentence);
    } catch (error) {
      return false;
    } finally {
      clearTimeout(impatient);
    }
  }

  async function sendAll() {
    if (sending || !document.body.dataset.keeper || !ready().length) return;
    sending = true;
    clearTimeout(timer);
    try {
      const held = async function () {
        for (const pin of ready()) if (!(await through(pin))) break;
      };
      if (navigator.locks) await navigator.locks.request("pins-kept", held);
      else await held();
    } finally {
      sending = false;
    }
    if (ready().length) timer = setTimeout(sendAll, AGAIN_MS);
    else document.dispatchEvent(new CustomEvent("pins:sent"));
  }

  window.addEventListener("online", sendAll);
  document.addEventListener("visibilitychange", function () { if (!document.hidden) sendAll(); });
  window.shopPins = { sendAll: sendAll };
  sendAll();
})();
