/* Keeps what is typed into a form marked data-keep until the shop has taken it: through a log-in that ended,
   a reload, a way back. In this tab alone, for whoever typed it, never a password or a file; gone when the form
   was taken, at log-out, and after a day. */
(function () {
  "use strict";
  const PREFIX = "keep:";
  const A_DAY_MS = 24 * 3600 * 1000;
  const LEFT_OUT = "button, fieldset, output, [type=hidden], [type=password], [type=file], [type=submit]";
  const keeper = document.body.dataset.keeper;
  const shown = new WeakMap();
  const sent = new WeakMap();
  let store = null;
  try { store = window.sessionStorage; } catch (refused) { return; }

  function same(one, other) { return JSON.stringify(one || []) === JSON.stringify(other || []); }
  function ticks(field) { return field.matches("[type=radio], [type=checkbox]"); }
  function fields(form) {
    return Array.from(form.elements).filter(function (field) { return field.name && !field.matches(LEFT_OUT); });
  }

  /* The values by name; `asServed`, as the shop wrote them into the page. */
  function values(form, asServed) {
    const read = {};
    fields(form).forEach(function (field) {
      const list = read[field.name] = read[field.name] || [];
      if (ticks(field)) { if (asServed ? field.defaultChecked : field.checked) list.push(field.value); return; }
      if (!asServed) { list.push(field.value); return; }
      const chosen = field.options && (Array.from(field.options).find(function (one) { return one.defaultSelected; }) || field.options[0]);
      list.push(field.options ? (chosen ? chosen.value : "") : field.defaultValue);
    });
    return read;
  }

  function keyOf(form) { return PREFIX + form.dataset.keep; }
  function drafted(key) {
    try { return JSON.parse(store.getItem(key)); } catch (spoilt) { return null; }
  }
  function newId() {
    return Array.from(crypto.getRandomValues(new Uint32Array(2)), function (n) { return n.toString(36); }).join("");
  }

  function keep(form) {
    if (!keeper) return;
    const key = keyOf(form), now = values(form), was = shown.get(form) || values(form, true);
    const before = drafted(key) || { typed: {}, from: {} };
    const draft = { by: keeper, at: Date.now(), id: before.id || newId(), typed: {}, from: {} };
    Object.keys(before.typed).forEach(function (name) {
      if (!(name in now)) { draft.typed[name] = before.typed[name]; draft.from[name] = before.from[name]; }
    });
    Object.keys(now).forEach(function (name) {
      if (same(now[name], was[name])) return;
      draft.typed[name] = now[name];
      draft.from[name] = name in before.from ? before.from[name] : was[name];
    });
    if (!Object.keys(draft.typed).length) { store.removeItem(key); return; }
    try { store.setItem(key, JSON.stringify(draft)); } catch (full) { /* What is on the page is still there. */ }
  }

  function fill(form, typed) {
    const place = {};
    let put = false;
    fields(form).forEach(function (field) {
      if (!(field.name in typed)) return;
      const list = typed[field.name], at = place[field.name] = (place[field.name] || 0);
      if (ticks(field)) {
        if (field.checked !== list.includes(field.value)) { field.checked = !field.checked; put = true; }
        return;
      }
      place[field.name] = at + 1;
      if (list[at] === undefined || field.value === list[at]) return;
      field.value = list[at];
      put = true;
      for (let box = field.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
    });
    return put;
  }

  function tell(form, meanwhile) {
    quiet(form);
    const said = document.createElement("p"), away = document.createElement("button");
    said.className = "notice";
    said.dataset.keepSaid = "";
    said.setAttribute("role", "status");
    said.append(say("What you had typed is here again. It is not saved yet."), " ");
    if (meanwhile) said.append(say("Meanwhile somebody else has changed this, so look at it before you save it."), " ");
    away.type = "button";
    away.className = "button is-quiet";
    away.textContent = say("Throw it away");
    away.addEventListener("click", function () { store.removeItem(keyOf(form)); form.reset(); quiet(form); });
    said.append(away);
    form.prepend(said);
  }
  function quiet(form) {
    form.querySelectorAll("[data-keep-said]").forEach(function (one) { one.remove(); });
  }

  function bringBack(form) {
    if (shown.has(form)) return;
    const was = values(form, true), draft = drafted(keyOf(form));
    shown.set(form, was);
    if (!draft || !keeper || !fill(form, draft.typed)) return;
    const meanwhile = Object.keys(draft.typed).some(function (name) { return name in was && !same(draft.from[name], was[name]); });
    tell(form, meanwhile);
    /* What saves by itself while it is filled in does so now, unless that would write over somebody. */
    const saves = form.matches('[data-hx-trigger*="change"]');
    if (saves && !meanwhile) setTimeout(function () { form.dispatchEvent(new Event("change", { bubbles: true })); });
  }
  function bringBackIn(part) {
    if (part.matches && part.matches("form[data-keep]")) bringBack(part);
    part.querySelectorAll("form[data-keep]").forEach(bringBack);
  }

  function taken(form) {
    store.removeItem(keyOf(form));
    shown.set(form, sent.get(form) || values(form));
    quiet(form);
    keep(form);
  }

  function each(act) {
    Object.keys(store).filter(function (key) { return key.startsWith(PREFIX); }).forEach(function (key) { act(key, drafted(key)); });
  }
  /* The shop says by a cookie which form it has just taken: that page is gone, and its answer is this one. */
  function hearWhatWasTaken() {
    const found = document.cookie.match(/(?:^|; )((?:__Host-)?taken)=([\w.-]+)/);
    if (!found) return;
    const secure = location.protocol === "https:" ? "; Secure" : "";
    document.cookie = found[1] + "=; Max-Age=0; Path=/; SameSite=Strict" + secure;
    each(function (key, draft) { if (draft && draft.id === found[2]) store.removeItem(key); });
  }
  function dropWhatIsNotOurs() {
    each(function (key, draft) {
      if (!draft || Date.now() - draft.at > A_DAY_MS || keeper && draft.by !== keeper) store.removeItem(key);
    });
  }

  ["input", "change"].forEach(function (kind) {
    document.addEventListener(kind, function (event) {
      const form = event.target.form || event.target;
      if (form instanceof HTMLFormElement && form.matches("[data-keep]")) keep(form);
    });
  });
  /* Whoever leaves a form as it was, or takes what somebody else wrote, wants nothing brought back. */
  document.addEventListener("click", function (event) {
    const form = event.target instanceof Element && event.target.closest("[data-keep-drop]") && event.target.closest("form[data-keep]");
    if (form) store.removeItem(keyOf(form));
  }, true);
  document.addEventListener("submit", function (event) {
    const form = event.target;
    if (form.matches('[action$="/log-out/"]')) { each(function (key) { store.removeItem(key); }); return; }
    if (!form.matches("[data-keep]:not([data-hx-post])")) return;
    const draft = drafted(keyOf(form));
    if (!draft) return;
    const as = form.elements["kept-as"] || document.createElement("input");
    as.type = "hidden";
    as.name = "kept-as";
    as.value = draft.id;
    form.append(as);
  });
  document.addEventListener("htmx:beforeRequest", function (event) {
    const form = event.detail.elt;
    if (form.matches("form[data-keep]")) sent.set(form, values(form));
  });
  /* Before what comes takes the form's place, so that it is not filled in once more. */
  document.addEventListener("htmx:beforeOnLoad", function (event) {
    const form = event.detail.elt, status = event.detail.xhr.status;
    if (form.matches("form[data-keep]") && status >= 200 && status < 300) taken(form);
  });
  document.addEventListener("htmx:load", function (event) { bringBackIn(event.detail.elt); });

  hearWhatWasTaken();
  dropWhatIsNotOurs();
  bringBackIn(document);
})();
