/* The list of what waits on this device, each to be looked at, changed and thrown away; and the form in which
   gear is taken in without a line. The same without a line and with one. */
(function () {
  "use strict";
  const kept = window.shopKept;
  const list = document.querySelector("[data-kept-list]"), form = document.querySelector("[data-kept-form]");
  if (!list || !form) return;
  let editing = null;

  function one(selector, within) { return (within || document).querySelector(selector); }
  function time(at) {
    return new Date(at).toLocaleString(say.dates, { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit", hour12: false });
  }

  function values() {
    const read = {};
    Array.from(form.elements).forEach(function (field) {
      if (!field.name) return;
      if (field.type === "checkbox") { read[field.name] = read[field.name] || []; if (field.checked) read[field.name].push(field.value); }
      else if (field.type === "radio") { if (field.checked) read[field.name] = field.value; }
      else read[field.name] = field.value.trim();
    });
    return read;
  }
  function fill(fields) {
    Array.from(form.elements).forEach(function (field) {
      if (!field.name) return;
      const value = fields[field.name];
      if (field.type === "checkbox") field.checked = [].concat(value || []).includes(field.value);
      else if (field.type === "radio") field.checked = field.value === (value === undefined ? field.dataset.usual || "" : value);
      else field.value = value || "";
    });
  }

  /* What stands in the form survives a reload, and says that it is not finished. */
  function note() {
    const before = editing && kept.get(editing);
    if (!editing) editing = kept.newKey();
    const draft = { key: editing, person: kept.person(), at: before ? before.at : Date.now(), fields: values(), state: "begun", wrong: {} };
    try { kept.put(draft); } catch (full) { wrong({ name: say("This device has no room left to keep it. Write it on paper.") }); }
  }
  form.addEventListener("input", note);

  function wrong(said) {
    form.querySelectorAll("[data-wrong]").forEach(function (place) { 
      place.textContent = said[place.dataset.wrong] || "";
      place.closest(".field").classList.toggle("has-error", Boolean(place.textContent));
    });
    Array.from(form.elements).forEach(function (field) {
      if (field.name && one('[data-wrong="' + field.name + '"]', form)) field.setAttribute("aria-invalid", String(Boolean(said[field.name])));
    });
    const first = Object.keys(said)[0], field = first && form.elements[first];
    if (field) (field.length && !field.options ? field[0] : field).focus();
  }
  function refusal(fields) {
    const said = {};
    if (!/[\p{L}\p{N}]/u.test(fields.name || "")) said.name = say("Write the customer's name.");
    const digits = (fields.phone || "").replace(/\D/g, "").length;
    if (fields.phone && (digits < 5 || digits > 15)) said.phone = say("A phone number has 5 to 15 digits, such as +1 555 0134.");
    if (!fields.kind) said.kind = say("Say whether it is a wing or a kite.");
    return said;
  }

  form.addEventListener("submit", function (event) {
    event.preventDefault();
    const fields = values(), said = refusal(fields);
    wrong(said);
    if (Object.keys(said).length) return;
    note();
    kept.put(Object.assign({}, kept.get(editing), { state: "waiting", customer: "", gear: "" }));
    close();
    const last = list.lastElementChild;
    if (last) { last.tabIndex = -1; last.focus(); }
    if (window.shopSending) window.shopSending.all();
  });

  function open(draft) {
    editing = draft ? draft.key : null;
    fill(draft ? draft.fields : {});
    wrong(draft && draft.wrong ? draft.wrong : {});
    form.closest("[data-kept-sheet]").hidden = false;
    if (!draft || !Object.keys(draft.wrong || {}).length) form.elements.name.focus();
    show();
  }
  function close() {
    editing = null;
    fill({});
    form.closest("[data-kept-sheet]").hidden = true;
    show();
  }

  const STATES = {
    waiting: function () { return say("waits for the line"); },
    begun: function () { return say("not finished"); },
    asks: function () { return say("needs your answer"); },
    refused: function () { return say("cannot be taken in like this"); },
  };
  function row(draft) {
    const item = one("[data-kept-row]").content.firstElementChild.cloneNode(true), fields = draft.fields;
    const kind = one('[name="kind"][value="' + (fields.kind || "none") + '"]', form);
    item.dataset.key = draft.key;
    item.dataset.state = draft.state;
    one("[data-kept-name]", item).textContent = fields.name || say("No name yet");
    one("[data-kept-gear]", item).textContent = [kind ? kind.closest("label").textContent.trim() : "", fields.model, fields.serial, fields.phone].filter(Boolean).join(" · ");
    one("[data-kept-time]", item).textContent = time(draft.at);
    one("[data-kept-state]", item).textContent = (STATES[draft.state] || STATES.waiting)();
    const damage = Array.from(form.elements.damage_kind.options).find(function (option) { return option.value && option.value === fields.damage_kind; });
    one("[data-kept-said]", item).textContent = [damage ? damage.textContent : "", fields.damage, fields.said].filter(Boolean).join(" · ");
    one("[data-kept-wrong]", item).textContent = Object.values(draft.wrong || {}).join(" ");
    one("[data-kept-answer]", item).hidden = draft.state !== "asks" || !window.shopSending;
    return item;
  }

  function show() {
    const drafts = kept.mine().filter(function (draft) { return draft.key !== editing; });
    const asked = Array.from(list.querySelectorAll("[data-asked]")).filter(function (item) {
      return drafts.some(function (draft) { return draft.key === item.dataset.key && draft.state === "asks"; });
    });
    list.replaceChildren.apply(list, drafts.map(function (draft) {
      return asked.find(function (item) { return item.dataset.key === draft.key; }) || row(draft);
    }));
    document.querySelectorAll("[data-kept-none]").forEach(function (said) { said.hidden = drafts.length > 0 || Boolean(editing); });
    const others = kept.person() ? kept.all().length - kept.mine().length : kept.all().length;
    const told = one("[data-kept-others]");
    told.hidden = !others;
    told.textContent = say.count("1 check-in of somebody else waits on this device. It is sent when that person logs in here.", "%(count)s check-ins of somebody else wait on this device. They are sent when that person logs in here.", others);
  }

  document.addEventListener("click", function (event) {
    const button = event.target instanceof Element && event.target.closest("button");
    const item = button && button.closest("[data-kept-list] > li");
    if (!button) return;
    if (button.matches("[data-kept-new]")) open(null);
    if (button.matches("[data-kept-later]")) close();
    if (!item) return;
    const draft = kept.get(item.dataset.key);
    if (!draft) { show(); return; }
    if (button.matches("[data-kept-change]")) open(draft);
    if (button.matches("[data-kept-away]")) { one("[data-kept-sure]", item).hidden = false; one("[data-kept-keep]", item).focus(); }
    if (button.matches("[data-kept-keep]")) { one("[data-kept-sure]", item).hidden = true; one("[data-kept-away]", item).focus(); }
    if (button.matches("[data-kept-gone]")) { kept.drop(draft.key); show(); }
  });

  document.addEventListener("kept:changed", show);
  window.addEventListener("storage", function (event) { if (event.key === kept.store) show(); });
  window.shopKeptList = { show: show, open: open };
  show();
})();
