/* Where the shop asks who it is or which gear, both are shown under the check-in that waits, and what a person
   answers is sent with it. What the shop knows of others stays on the page and is not kept on the device. */
(function () {
  "use strict";
  const kept = window.shopKept, sending = window.shopSending;
  const list = document.querySelector("[data-kept-list]");
  if (!list) return;

  async function send(item, answers) {
    const draft = kept.get(item.dataset.key);
    if (!draft || item.getAttribute("aria-busy") === "true") return;
    item.setAttribute("aria-busy", "true");
    const place = item.querySelector("[data-kept-question]");
    const told = await sending.through(Object.assign({}, draft, answers));
    item.removeAttribute("aria-busy");
    if (told.became === "asks") {
      const question = new DOMParser().parseFromString(told.question, "text/html").body.firstElementChild;
      item.dataset.asked = "";
      const shown = Array.from(list.children).find(function (one) { return one.dataset.key === draft.key; });
      if (shown && shown !== item) shown.replaceWith(item);
      item.querySelector("[data-kept-answer]").hidden = true;
      place.replaceChildren(document.importNode(question, true));
      place.firstElementChild.tabIndex = -1;
      place.firstElementChild.focus();
    } else if (!told.became) {
      place.textContent = told.code === 401 ? say("Your log-in has ended: log in again.") : say("The shop did not answer. It is still here: try again.");
    }
  }

  list.addEventListener("click", function (event) {
    const button = event.target instanceof Element && event.target.closest("[data-kept-answer]");
    if (button) send(button.closest("li[data-key]"), {});
  });
  list.addEventListener("submit", function (event) {
    event.preventDefault();
    const data = new FormData(event.target, event.submitter);
    send(event.target.closest("li[data-key]"), { customer: data.get("customer") || "", gear: data.get("gear") || "" });
  });
  list.querySelectorAll('li[data-state="asks"]').forEach(function (item) { send(item, {}); });
})();
