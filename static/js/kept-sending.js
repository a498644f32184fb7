/* On every page of the shop: whose device it is now, what waits on it, and sending that once there is a line.
   One after the other, each under its key, so that what the shop has taken already is not taken in twice. */
(function () {
  "use strict";
  const PATIENCE_MS = 15000, AGAIN_MS = 15000, WORKER = "/line-worker.js", SEND = "/check-in/kept/send/", PAGE = "/check-in/kept/";
  const kept = window.shopKept, keeper = document.body.dataset.keeper;
  let sending = false, timer = null;
  if (keeper) kept.worksHere(keeper);
  else kept.nobody();

  function token() { return JSON.parse(document.body.dataset.hxHeaders)["X-CSRFToken"]; }
  function ready() { return kept.mine().filter(function (one) { return one.state === "waiting"; }); }

  /* How many things wait, at the head of the page. The bench tells of its ticks itself. */
  function tell() {
    const drafts = kept.mine(), pins = kept.pins();
    const own = function (name) {
      try { return (JSON.parse(localStorage.getItem(name)) || []).filter(function (one) { return one.person === keeper; }).length; } catch (error) { return 0; }
    };
    const ticks = document.getElementById("ticks") ? 0 : own("bench-ticks") + own("bench-ticks-clashes");
    const many = drafts.length + pins.length + ticks;
    const asks = drafts.filter(function (one) { return one.state !== "waiting"; }).length + pins.filter(function (pin) { return pin.sentence; }).length;
    let said = document.getElementById("kept-count");
    if (!many || location.pathname === PAGE) { if (said) said.remove(); return; }
    if (!said) said = head();
    said.querySelector("a").hidden = !drafts.length && pins.length > 0 && pins[0].page === location.pathname;
    said.dataset.tone = asks ? "warning" : "";
    said.querySelector("a").href = drafts.length ? PAGE : pins.length ? pins[0].page : "/bench/";
    const text = say.count("1 thing waits on this device", "%(count)s things wait on this device", many) +
      (asks ? ", " + say.count("1 of them for you", "%(count)s of them for you", asks) : "");
    if (said.firstChild.textContent !== text) said.firstChild.textContent = text;
  }
  function head() {
    const said = document.createElement("p"), words = document.createElement("span"), link = document.createElement("a");
    said.id = "kept-count";
    said.className = "notice";
    said.setAttribute("role", "status");
    link.className = "button is-quiet";
    link.textContent = say("Look at it");
    said.append(words, link);
    const line = document.getElementById("line");
    if (line) line.before(said);
    return said;
  }
  function came(draft, leadsTo) {
    const line = document.getElementById("line"), said = document.createElement("p"), link = document.createElement("a");
    if (!line) return;
    said.className = "notice";
    said.setAttribute("role", "status");
    link.className = "button is-quiet";
    link.href = leadsTo;
    link.textContent = say("Go on with it");
    said.append(say("%(name)s is with the shop now.", { name: draft.fields.name }), " ", link);
    line.before(said);
  }

  function form(draft) {
    const data = new FormData();
    Object.keys(draft.fields).forEach(function (name) {
      [].concat(draft.fields[name]).forEach(function (value) { data.append(name, value); });
    });
    data.append("key", draft.key);
    data.append("waited_s", Math.max(0, (Date.now() - draft.at) / 1000));
    data.append("customer", draft.customer || "");
    data.append("gear", draft.gear || "");
    return data;
  }

  /* "" where it did not get through; else what became of it: "taken", "asks" with the question, "refused". */
  async function through(draft) {
    const stop = new AbortController();
    const impatient = setTimeout(function () { stop.abort(); }, PATIENCE_MS);
    try {
      const answer = await fetch(SEND, { method: "POST", body: form(draft), headers: { "HX-Request": "true", "X-CSRFToken": token() }, signal: stop.signal });
      if (answer.status === 200) {
        const leadsTo = (await answer.json()).leads_to;
        kept.drop(draft.key);
        came(draft, leadsTo);
        return { became: "taken" };
      }
      if (answer.status === 409) {
        const question = await answer.text();
        kept.put(Object.assign({}, draft, { state: "asks", wrong: {}, customer: "", gear: "" }));
        return { became: "asks", question: question };
      }
      if (answer.status === 422) {
        kept.put(Object.assign({}, draft, { state: "refused", wrong: (await answer.json()).wrong }));
        return { became: "refused" };
      }
      return { became: "", code: answer.status };
    } catch (error) {
      return { became: "" };
    } finally {
      clearTimeout(impatient);
    }
  }

  async function sendAll() {
    if (sending || !keeper) return;
    sending = true;
    clearTimeout(timer);
    try {
      /* Of two tabs one sends; where a browser cannot say so, the key sees to it. */
      const held = async function () {
        for (const draft of ready()) if (!(await through(draft)).became) break;
      };
      if (navigator.locks) await navigator.locks.request("taken-down", held);
      else await held();
    } finally {
      sending = false;
    }
    if (ready().length) timer = setTimeout(sendAll, AGAIN_MS);
    tell();
  }

  /* What is not sent yet goes at the log-out, so whoever logs out is asked first. */
  document.addEventListener("submit", function (event) {
    const out = event.target;
    if (!out.matches('[action$="/log-out/"]')) return;
    const many = kept.mine().length + kept.pins().length;
    if (!many) { kept.leaves(); return; }
    event.preventDefault();
    event.stopImmediatePropagation();
    ask(out, many);
  }, true);

  function ask(out, many) {
    const before = document.getElementById("kept-leaving");
    if (before) before.remove();
    const box = document.createElement("div"), words = document.createElement("p"), stay = document.createElement("a"), away = document.createElement("button");
    box.id = "kept-leaving";
    box.className = "notice";
    box.dataset.tone = "warning";
    box.setAttribute("role", "alert");
    box.tabIndex = -1;
    words.textContent = say.count("1 thing waits on this device and is not with the shop yet. At the log-out it is thrown away.", "%(count)s things wait on this device and are not with the shop yet. At the log-out they are thrown away.", many);
    stay.className = "button";
    stay.href = kept.mine().length ? PAGE : kept.pins()[0].page;
    stay.textContent = say("Look at it first");
    away.type = "button";
    away.className = "button is-danger";
    away.textContent = say("Throw away and log out");
    away.addEventListener("click", function () { kept.leaves(); out.requestSubmit(); });
    box.append(words, stay, away);
    document.getElementById("line").before(box);
    const menu = out.closest("details");
    if (menu) menu.open = false;
    box.scrollIntoView({ block: "center" });
    box.focus();
  }

  window.addEventListener("online", sendAll);
  document.addEventListener("kept:changed", tell);
  document.addEventListener("visibilitychange", function () { if (!document.hidden) sendAll(); });
  /* Who logs out in one tab leaves nothing in the others. */
  window.addEventListener("storage", function (event) {
    if (event.key === kept.works && !event.newValue) kept.nobody();
    if (event.key === kept.store || event.key === kept.pinned) document.dispatchEvent(new CustomEvent("kept:changed"));
  });
  window.addEventListener("load", function () {
    if (!keeper || !navigator.serviceWorker) return;
    navigator.serviceWorker.register(WORKER)
      .then(function () { return navigator.serviceWorker.ready; })
      .then(function (worker) { worker.active.postMessage({ language: document.documentElement.lang }); })
      .catch(function () { /* A browser that refuses goes on with a line. */ });
  });

  window.shopSending = { through: through, all: sendAll, token: token };
  tell();
  sendAll();
})();
