/* Where somebody else did otherwise to a step while this device had no line, both are shown, and a person says
   whose counts. Until then the step stands as the shop's rules have it. */
(function () {
  "use strict";
  const kept = window.shopTicks;
  let asking = "";

  function box() { return document.getElementById("ticks"); }
  function mine() {
    return kept.clashes().filter(function (one) { return one.person === box().dataset.person; });
  }

  function item(one) {
    const row = box().querySelector("[data-clash-row]").content.firstElementChild.cloneNode(true);
    row.dataset.key = one.key;
    row.querySelector("[data-clash-step]").textContent = one.text;
    ["mine", "theirs"].forEach(function (whose) {
      const stands = one.stands === whose ? " " + say("It stands so now.") : "";
      row.querySelector("[data-clash-" + whose + "]").textContent = one[whose].said + stands;
    });
    row.querySelector("[data-clash-sentence]").textContent = one.sentence || "";
    return row;
  }

  function show() {
    if (!box()) return;
    const list = box().querySelector("[data-clash-list]"), all = mine();
    box().querySelector("[data-clashes]").hidden = !all.length;
    const held = list.contains(document.activeElement) ? document.activeElement.closest("li").dataset.key : "";
    list.replaceChildren.apply(list, all.map(item));
    const again = held && list.querySelector('[data-key="' + CSS.escape(held) + '"] button');
    if (again) again.focus();
  }

  async function decide(one, whose) {
    if (asking) return;
    if (one.stands === whose) { kept.settle(one.key); show(); document.dispatchEvent(new CustomEvent("ticks:settled")); return; }
    asking = one.key;
    const data = new FormData(), wanted = one[whose];
    data.append("key", one.key + "-d");
    data.append("step", one.step);
    data.append("state", wanted.state);
    data.append("reason", wanted.reason);
    let sentence = say("The line to the shop is gone: say it again when it is back.");
    try {
      const answer = await fetch(box().dataset.decide, { method: "POST", body: data, headers: { "HX-Request": "true", "X-CSRFToken": box().dataset.token } });
      if (answer.status === 204) { kept.settle(one.key); sentence = ""; }
      else sentence = answer.status === 422 ? await answer.text() : say("That did not work (%(code)s). Try it again.", { code: answer.status });
    } catch (error) { /* The sentence says it. */ }
    asking = "";
    if (sentence) { kept.settle(one.key); kept.clash(Object.assign(one, { sentence: sentence })); }
    show();
    if (!sentence) document.dispatchEvent(new CustomEvent("ticks:settled"));
  }

  document.addEventListener("click", function (event) {
    const button = event.target instanceof Element && event.target.closest("[data-counts]");
    if (!button) return;
    const key = button.closest("li").dataset.key;
    const one = mine().find(function (each) { return each.key === key; });
    if (one) decide(one, button.dataset.counts);
  });
  document.addEventListener("ticks:told", show);
})();
