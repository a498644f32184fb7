/* Day, night or as the device: changed at once by one tap, kept by the device, and told to the shop afterwards
   so that the next page comes in it. Without a line it holds all the same. */
(function () {
  "use strict";
  const NEXT = { "": "day", day: "night", night: "" };
  const root = document.documentElement;
  const secure = location.protocol === "https:";
  const NAME = secure ? "__Host-look" : "look";
  const A_YEAR_S = 365 * 24 * 3600;

  function kept() {
    const found = document.cookie.match(new RegExp("(?:^|; )" + NAME + "=(day|night)"));
    return found ? found[1] : "";
  }

  function show(look) {
    if (look) root.dataset.look = look;
    else delete root.dataset.look;
    document.querySelectorAll("meta[name=theme-color]").forEach(function (meta) {
      meta.content = getComputedStyle(root).getPropertyValue("--bar").trim();
      meta.removeAttribute("media");
    });
    document.dispatchEvent(new Event("look"));
  }

  function keep(look) {
    document.cookie = NAME + "=" + look + "; Path=/; SameSite=Lax; Max-Age=" + (look ? A_YEAR_S : 0) + (secure ? "; Secure" : "");
  }

  document.addEventListener("submit", async function (event) {
    const form = event.target;
    if (!form.matches(".bar-look")) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const look = NEXT[root.dataset.look || ""];
    const data = new FormData(form);
    data.set("look", look);
    keep(look);
    show(look);
    try {
      const answer = await fetch(form.action, { method: "POST", body: data, headers: { "HX-Request": "true" } });
      if (!answer.ok || !form.isConnected || (root.dataset.look || "") !== look) return;
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector(".bar-look");
      if (!fresh) return;
      const held = form.contains(document.activeElement);
      form.replaceWith(fresh);
      if (held) fresh.querySelector("button").focus();
    } catch (lost) { /* The look is kept here; only the button's name is an older one until the next page. */ }
  });

  /* A page that the browser had kept comes in the look of then. */
  function anew() { if (kept() !== (root.dataset.look || "")) show(kept()); }
  window.addEventListener("pageshow", anew);
  anew();
})();
