/* Ticks of the bench. Each is kept on the device before it is sent, with a key made here, so a line that is
   down loses none and a line that comes back doubles none: the shop counts a key once. */
(function () {
  "use strict";
  const PATIENCE_MS = 10000, AGAIN_MS = 4000;
  const STATE_AFTER = { start: "running", done: "done", skip: "skipped", undo: "waiting" };
  const kept = window.shopTicks, steps = window.shopSteps, step = steps.find;
  let sending = false, timer = null, trouble = "", loggedOut = false, lastKey = "";

  function box() { return document.getElementById("ticks"); }
  function job() { return document.getElementById("bench-job"); }
  function person() { return box().dataset.person; }
  function mine() { return kept.waiting().filter(function (tick) { return tick.person === person(); }); }
  function shown() { return document.querySelector(".bench-step:not([hidden])"); }
  function gone() { return say("The line to the shop is gone: work on, nothing is lost."); }

  /* Keeping: with what the page knew of the step, so that the shop can tell who had not heard of whom. */
  function keep(verb, id, reason, byItself) {
    const list = kept.waiting();
    const last = list[list.length - 1];
    const article = step(id);
    const tick = {
      key: kept.newKey(), after: last ? last.key : lastKey, step: String(id), verb: verb, at: new Date().toISOString(), reason: reason || "",
      person: person(), text: article ? article.querySelector("h1").textContent.trim() : "", byItself: Boolean(byItself),
      seen: article ? article.dataset.state : "",
    };
    lastKey = tick.key;
    kept.keep(tick);
    steps.put(id, STATE_AFTER[verb]);
    const row = document.querySelector('[data-row="' + id + '"]');
    if (row) row.querySelector("[data-row-waiting]").hidden = false;
  }

  /* Showing */
  function go(where, push) {
    if (where !== "list" && where !== "rest" && !step(where)) return;
    /* What was said of the step before is not said of this one. */
    document.querySelectorAll("#content > p.notice").forEach(function (said) { said.remove(); });
    document.querySelectorAll(".bench-step").forEach(function (article) { article.hidden = article.dataset.step !== where; });
    const list = document.querySelector("[data-list]"), rest = document.querySelector("[data-rest]");
    list.hidden = where !== "list";
    rest.hidden = where !== "rest";
    if (where === "rest") sayRest();
    const article = step(where);
    if (push) history.pushState({ bench: where }, "", article ? article.dataset.url : job().dataset.url);
    const shownPart = article || (where === "list" ? list : rest);
    const title = shownPart.querySelector("h1");
    document.title = title.textContent.trim() + " · " + say("Bench");
    materials(article);
    window.scrollTo(0, 0);
    title.focus({ preventScroll: true });
  }

  function sayRest() {
    const left = steps.all().some(function (article) { return !steps.settled(article); });
    document.querySelector("[data-rest-title]").textContent = left ? say("Nothing more can be done now") : say("All steps are done");
    document.querySelector("[data-rest-words]").textContent = left
      ? drying() || say("What is left waits for something to dry, or for another step.")
      : say("The air goes in next.");
  }

  /* Until when it dries, by the clock of this device and in the page's language. */
  function drying() {
    const at = steps.freeAt();
    if (at <= Date.now()) return "";
    const clock = new Intl.DateTimeFormat(say.dates, { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
    return say("It dries. The next step can be done from %(at)s.", { at: clock.format(at) });
  }

  function materials(article) {
    const slot = document.getElementById("materials-slot");
    if (!slot) return;
    slot.replaceChildren();
    slot.hidden = !article;
    if (!article) return;
    bring(slot, article.dataset.materials);
  }

  /* Without a line that is said quietly: nobody asked for it. */
  async function bring(slot, address) {
    const here = shown();
    try {
      if (!navigator.onLine || trouble) throw new Error(trouble);
      const answer = await fetch(address, { headers: { "HX-Request": "true" } });
      if (!answer.ok) throw new Error(answer.status);
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").body;
      if (shown() !== here) return;
      slot.replaceChildren.apply(slot, Array.from(fresh.children, function (each) { return document.importNode(each, true); }));
      window.htmx.process(slot);
    } catch (error) {
      if (shown() === here) slot.replaceChildren(words(say("Materials are taken when the line to the shop is back.")));
    }
  }

  function words(text) {
    const p = document.createElement("p");
    p.className = "soft";
    p.textContent = text;
    return p;
  }

  function offerUndo(verb, id) {
    const bar = document.querySelector("[data-undo]");
    if (!bar || !id) { if (bar) bar.hidden = true; return; }
    bar.querySelector("[data-undo-verb]").textContent = verb === "skip" ? say("Left out:") : say("Done:");
    bar.querySelector("[data-undo-text]").textContent = step(id).querySelector("h1").textContent.trim();
    bar.querySelector('[name="step"]').value = id;
    bar.hidden = false;
  }

  function tell() {
    const own = mine(), others = kept.waiting().length - own.length;
    const refused = kept.refused().filter(function (tick) { return tick.person === person(); });
    const slow = own.length && (trouble || !navigator.onLine);
    part("[data-waiting]", slow);
    text("[data-waiting-words]", say("Waiting to be sent (%(count)s).", { count: own.length }) + " " + (trouble || gone()));
    part("[data-log-in]", slow && loggedOut);
    part("[data-others]", others > 0);
    text("[data-others-words]", say.count("1 tick of somebody else waits on this device. It is sent when that person logs in here.", "%(count)s ticks of somebody else wait on this device. They are sent when that person logs in here.", others));
    part("[data-refused]", refused.length);
    const list = box().querySelector("[data-refused-list]");
    list.replaceChildren.apply(list, refused.map(function (tick) {
      const item = document.createElement("li");
      item.textContent = (tick.text ? say("“%(step)s”:", { step: tick.text }) + " " : "") + tick.sentence;
      return item;
    }));
    document.querySelectorAll("[data-row]").forEach(function (row) {
      row.querySelector("[data-row-waiting]").hidden = !own.some(function (tick) { return tick.step === row.dataset.row; });
    });
    if (own.length) sayProgress();
    document.dispatchEvent(new CustomEvent("ticks:told"));
  }
  /* How far the job is by what this device knows, until the shop says it again. */
  function sayProgress() {
    const every = steps.all(), bar = document.querySelector(".bench-so-far progress");
    if (!bar) return;
    bar.value = every.filter(steps.settled).length;
    bar.nextElementSibling.textContent = say.count("%(settled)s of %(count)s step done", "%(settled)s of %(count)s steps done", every.length, { settled: bar.value });
  }
  function part(name, seen) { box().querySelector(name).hidden = !seen; }
  /* Written only where it changed, or a screen reader says it again at every try. */
  function text(name, said) {
    const place = box().querySelector(name);
    if (place.textContent !== said) place.textContent = said;
  }

  /* Sending: one after the other, in the order of the taps; the first that does not get through stops the rest. */
  async function send() {
    if (sending) return;
    sending = true;
    box().setAttribute("aria-busy", "true");
    clearTimeout(timer);
    let sent = 0;
    try {
      for (let tick = mine()[0]; tick; tick = mine()[0]) {
        if (!(await through(tick))) break;
        sent += 1;
      }
    } finally {
      sending = false;
    }
    if (mine().length) timer = setTimeout(send, AGAIN_MS);
    else trouble = "";
    tell();
    if (sent && !mine().length) await caughtUp();
    if (!sending) box().removeAttribute("aria-busy");
  }

  async function caughtUp() {
    await refresh();
    const slot = document.getElementById("materials-slot");
    if (slot && shown() && !slot.querySelector("#materials")) bring(slot, shown().dataset.materials);
  }

  async function through(tick) {
    let answer;
    const stop = new AbortController();
    const impatient = setTimeout(function () { stop.abort(); }, PATIENCE_MS);
    try {
      answer = await fetch(box().dataset.url, { method: "POST", body: form(tick), headers: { "HX-Request": "true", "X-CSRFToken": box().dataset.token }, signal: stop.signal });
      loggedOut = answer.status === 401;
      if (answer.status === 204) { kept.drop(tick.key); return true; }
      return await judged(tick, answer);
    } catch (error) {
      trouble = gone();
      return false;
    } finally {
      clearTimeout(impatient);
    }
  }

  function form(tick) {
    const data = new FormData();
    ["key", "after", "step", "verb", "at", "reason", "seen"].forEach(function (name) { data.append(name, tick[name] || ""); });
    data.append("sent", new Date().toISOString());
    data.append("device", "1");
    return data;
  }

  /* Only what the shop read and refused is given up, and never without its sentence. */
  async function judged(tick, answer) {
    if (answer.status === 422) {
      const sentence = await answer.text();
      /* A start that came with another tick was nobody's tap: the page as the shop has it says enough. */
      if (!tick.byItself) kept.refuse(Object.assign({ sentence: sentence }, tick));
      kept.drop(tick.key);
      return true;
    }
    if (answer.status === 200) {
      /* It counts, and so does what somebody else has done to the step: a person says which of them stands. */
      kept.clash(Object.assign(await answer.json(), { key: tick.key, step: tick.step, text: tick.text, person: tick.person, reason: tick.reason }));
      kept.drop(tick.key);
      return true;
    }
    if (answer.status === 401) trouble = say("Your log-in has ended: log in again, and they are sent.");
    else if (answer.status === 403) trouble = say("Open this page again, and they are sent.");
    else trouble = say("The shop's computer could not take them (%(code)s). They are tried again.", { code: answer.status });
    return false;
  }

  /* The page as the shop has it now, with what other devices did meanwhile. Never under somebody's typing. */
  async function refresh() {
    const part = job();
    if (!part || busy() || mine().length) return;
    try {
      const answer = await fetch(location.href, { headers: { "X-Refresh": "1" } });
      if (!answer.ok || answer.redirected) return;
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("bench-job");
      if (!fresh || busy() || mine().length || sending) return;
      swap(part, fresh);
    } catch (error) { /* The line is gone again; what is on the page stays. */ }
  }

  function swap(part, fresh) {
    const here = shown(), list = !part.querySelector("[data-list]").hidden;
    const open = Array.from(part.querySelectorAll(".opens[open]"), function (each) { return each.closest("[id]").id; });
    const where = here ? here.dataset.step : list ? "list" : "rest";
    const backTo = window.keepPlace(part);
    part.replaceWith(document.importNode(fresh, true));
    window.htmx.process(job());
    const there = where === "list" || where === "rest" || step(where) ? where : "list";
    document.querySelectorAll(".bench-step").forEach(function (article) { article.hidden = article.dataset.step !== there; });
    document.querySelector("[data-list]").hidden = there !== "list";
    document.querySelector("[data-rest]").hidden = there !== "rest";
    if (there === "rest") sayRest();
    document.dispatchEvent(new CustomEvent("ticks:fresh"));
    open.forEach(function (id) { document.querySelectorAll("#" + id + " .opens").forEach(function (each) { each.open = true; }); });
    backTo(job());
    tell();
  }

  function busy() {
    const typing = document.activeElement && document.activeElement.closest("#bench-job input, #bench-job textarea");
    const part = job();
    const begun = part && Array.from(part.querySelectorAll('input[name="reason"]')).some(function (input) { return input.value; });
    const chosen = part && Array.from(part.querySelectorAll('input[type="file"]')).some(function (input) { return input.files.length; });
    return Boolean(typing || begun || chosen);
  }

  /* A tap */
  function tapped(verb, id, reason) {
    keep(verb, id, reason);
    if (verb === "done" || verb === "skip") {
      const following = steps.nextAfter(id);
      if (following && following.dataset.state === "waiting") keep("start", following.dataset.step, "", true);
      offerUndo(verb, id);
      go(following ? following.dataset.step : "rest", true);
    } else if (verb === "undo") {
      offerUndo("", null);
      const begun = document.querySelector('.bench-step[data-state="running"]:not([hidden])');
      if (begun && begun.dataset.step !== String(id)) keep("undo", begun.dataset.step, "", true);
      if (steps.mayDo(step(id))) keep("start", id, "", true);
      go(String(id), true);
    } else {
      offerUndo("", null);
      go(String(id), true);
    }
    tell();
    send();
  }

  document.addEventListener("submit", function (event) {
    if (!job() || !box()) return;
    const tick = event.target.closest("[data-tick]");
    if (!tick) { hold(event); return; }
    const reason = tick.elements.reason ? tick.elements.reason.value.trim() : "";
    const verb = tick.elements.verb.value, id = tick.elements.step.value;
    if (!step(id)) return;
    if (verb === "skip" && !reason) { event.preventDefault(); tick.elements.reason.focus(); return; }
    if (!kept.works()) return; /* Nothing can be kept here: the plain form goes its way. */
    event.preventDefault();
    event.stopImmediatePropagation();
    if (tick.elements.reason) { tick.elements.reason.value = ""; tick.closest("details").open = false; }
    tapped(verb, id, reason);
  }, true);

  /* Without a line another form would lead away from the page that one works on. */
  function hold(event) {
    if (!event.target.closest("#bench-job") || event.target.matches("[data-hx-post]") || (navigator.onLine && !trouble)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    trouble = gone();
    part("[data-waiting]", true);
    text("[data-waiting-words]", say("That needs the line to the shop, which is gone. Ticks are kept; this is not."));
  }

  document.addEventListener("click", function (event) {
    const link = event.target.closest("[data-go]");
    if (link && job() && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
      event.preventDefault();
      go(link.dataset.go, true);
    } else if (event.target.closest("[data-send-now]")) {
      send();
    } else if (event.target.closest("[data-refused-seen]")) {
      kept.seen(person());
      tell();
    }
  });

  window.addEventListener("popstate", function () {
    if (!job()) return;
    const article = steps.all().find(function (each) { return each.dataset.url === location.pathname; });
    go(article ? article.dataset.step : "list", false);
  });

  /* A page opened while ticks wait shows the steps as they will be once those are in. */
  function replay() {
    mine().forEach(function (tick) { steps.put(tick.step, STATE_AFTER[tick.verb]); });
  }

  document.addEventListener("DOMContentLoaded", function () {
    if (!box()) return;
    replay();
    tell();
    if (mine().length) send();
  });
  document.addEventListener("ticks:settled", function () { offerUndo("", null); refresh(); });
  window.addEventListener("online", function () { if (box()) { trouble = ""; send(); } });
  window.addEventListener("offline", function () { if (box()) tell(); });
  window.addEventListener("storage", function (event) { if (box() && kept.names.includes(event.key)) tell(); });
  document.addEventListener("htmx:afterSettle", function (event) {
    if (!box() || !job() || !event.target.matches("#content")) return;
    replay();
    tell();
  });
  document.addEventListener("visibilitychange", function () {
    if (document.hidden || !box()) return;
    if (mine().length) send(); else refresh();
  });
})();
