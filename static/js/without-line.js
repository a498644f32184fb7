/* The page in place of any other while the line is gone: what waits here, what still works, and the way back as
   soon as the shop answers. The bench's job that was open in this tab goes on. */
(function () {
  "use strict";
  const ALIVE = "/alive/", LOOK_AGAIN_MS = 5000, BENCH = "bench-page", AT_MOST_MS = 12 * 3600 * 1000;
  const kept = window.shopKept, own = document.body.dataset.own;
  const look = document.cookie.match(/(?:^|; )(?:__Host-)?look=(day|night)/);
  if (look) document.documentElement.dataset.look = look[1];

  function one(selector) { return document.querySelector(selector); }
  function back() { return location.pathname === own; }

  /* The line is looked for while the page is seen; what is being typed is never taken from under the fingers. */
  let looking = false;
  async function lookForLine() {
    if (looking) return;
    looking = true;
    one("[data-again]").setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(ALIVE, { cache: "no-store" });
      if (answer.ok) arrived();
    } catch (gone) { /* Not yet. */ }
    looking = false;
    one("[data-again]").removeAttribute("aria-busy");
  }
  function writing() {
    const sheet = one("[data-kept-sheet]");
    return !sheet.hidden && kept.mine().some(function (draft) { return draft.state === "begun"; });
  }
  function arrived() {
    if (writing()) { one("[data-is-back]").hidden = false; return; }
    go();
  }
  function go() {
    if (back()) location.replace("/");
    else location.reload();
  }

  /* The bench's job as this tab last showed it, for the same person and for a working day at most. */
  function bench() {
    let page = null;
    try { page = JSON.parse(sessionStorage.getItem(BENCH)); } catch (spoilt) { return null; }
    const good = page && page.by === kept.person() && Date.now() - page.at < AT_MOST_MS;
    if (page && !good) sessionStorage.removeItem(BENCH);
    return good ? page : null;
  }
  function showBench(page) {
    const part = one("[data-bench-here]");
    const parsed = new DOMParser().parseFromString(page.html, "text/html").body;
    part.append.apply(part, Array.from(parsed.children, function (each) { return document.importNode(each, true); }));
    const step = Array.from(part.querySelectorAll(".bench-step")).find(function (each) { return each.dataset.url === location.pathname; });
    part.querySelectorAll(".bench-step").forEach(function (each) { each.hidden = each !== step; });
    part.querySelector("[data-list]").hidden = Boolean(step);
    part.querySelector("[data-rest]").hidden = true;
    one("[data-shell]").hidden = true;
    one("[data-bench-said]").hidden = false;
    one("[data-bench-time]").textContent = new Date(page.at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
    document.title = part.querySelector("h1").textContent.trim();
  }

  function ticks() {
    try { return (JSON.parse(localStorage.getItem("bench-ticks")) || []).filter(function (tick) { return tick.person === kept.person(); }).length; } catch (error) { return 0; }
  }
  function tell() {
    const many = ticks(), some = kept.mine().length, pins = kept.pins().length;
    one("[data-pins-wait]").hidden = !pins;
    one("[data-pins-wait]").textContent = say.count("1 pin on a drawing", "%(count)s pins on a drawing, to be pinned in their order", pins);
    one("[data-ticks-wait]").hidden = !many;
    one("[data-ticks-wait]").textContent = say.count("1 tick of the bench, to be sent in its order", "%(count)s ticks of the bench, to be sent in their order", many);
    one("[data-nothing]").hidden = Boolean(many || some || pins);
    document.querySelectorAll("[data-somebody]").forEach(function (part) { part.hidden = !kept.person(); });
    one("[data-nobody]").hidden = Boolean(kept.person());
  }

  const page = bench();
  if (page && location.pathname.startsWith(page.url)) {
    showBench(page);
  } else if (page) {
    one("[data-bench-go]").hidden = false;
    one("[data-bench-go] a").href = page.url;
  }
  tell();
  document.addEventListener("kept:changed", tell);
  document.addEventListener("click", function (event) {
    if (event.target.closest("[data-again]")) lookForLine();
    if (event.target.closest("[data-go]") && event.target.closest("[data-is-back]")) go();
  });
  window.addEventListener("online", lookForLine);
  setInterval(function () { if (!document.hidden) lookForLine(); }, LOOK_AGAIN_MS);
})();
