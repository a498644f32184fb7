/* Photos are seen at once from the device and sent one by one; what fails stays, with its reason, to be sent again. */
(function () {
  "use strict";
  let sending = 0;

  function newKey() {
    return Array.from(crypto.getRandomValues(new Uint32Array(3)), function (n) { return n.toString(36); }).join("-");
  }

  function count(section) {
    const kept = section.querySelectorAll('.photo[data-state="kept"]').length;
    section.querySelector("[data-photo-count]").textContent = kept;
    section.querySelector("[data-when-empty]").hidden = section.querySelectorAll(".photo").length > 0;
  }

  function add(form, file) {
    const section = form.closest("[data-photos]");
    const item = section.querySelector("[data-photo-template]").content.firstElementChild.cloneNode(true);
    const shows = form.querySelector('select[name="damage"], [name="damage"]:checked');
    const image = item.querySelector("img");
    image.src = URL.createObjectURL(file);
    image.alt = say("Photo just taken");
    image.addEventListener("error", function () { image.hidden = true; });
    section.querySelector("[data-photo-list]").append(item);
    count(section);
    const photo = { item: item, file: file, form: form, key: newKey(), damage: shows ? shows.value : "" };
    item.querySelector("[data-photo-again]").addEventListener("click", function () { send(photo); });
    item.querySelector("[data-photo-drop]").addEventListener("click", function () { item.remove(); count(section); });
    return photo;
  }

  function mark(photo, state, words, mayRepeat) {
    photo.item.dataset.state = state;
    photo.item.querySelector(".photo-words").textContent = words;
    photo.item.querySelector(".photo-tools").hidden = state !== "failed";
    photo.item.querySelector("[data-photo-again]").hidden = !mayRepeat;
  }

  async function send(photo) {
    const data = new FormData();
    data.append("photo", photo.file, photo.file.name);
    data.append("key", photo.key);
    data.append("damage", photo.damage);
    data.append("csrfmiddlewaretoken", photo.form.elements.csrfmiddlewaretoken.value);
    mark(photo, "waiting", say("On its way …"));
    sending += 1;
    try {
      const answer = await fetch(photo.form.action, { method: "POST", body: data, headers: { "HX-Request": "true" } });
      show(photo, answer.status, await answer.text());
    } catch (error) {
      mark(photo, "failed", say("Not sent: the line to the shop is gone. The photo is still here."), true);
    } finally {
      sending -= 1;
      count(photo.form.closest("[data-photos]"));
    }
  }

  function show(photo, status, text) {
    const parts = new DOMParser().parseFromString(text, "text/html");
    const refused = parts.querySelector(".photo-refused");
    const kept = parts.querySelector(".photo");
    if (status < 300 && kept) {
      const image = photo.item.querySelector("img");
      photo.item.replaceWith(kept);
      window.htmx.process(kept);
      URL.revokeObjectURL(image.src);
    } else if (refused) {
      mark(photo, "failed", refused.textContent, false);
    } else {
      mark(photo, "failed", say("The shop could not keep this photo (%(code)s). It is still here.", { code: status }), true);
    }
  }

  document.addEventListener("change", async function (event) {
    const form = event.target.closest("[data-camera]");
    if (!form || event.target.type !== "file") return;
    const photos = Array.from(event.target.files, function (file) { return add(form, file); });
    event.target.value = "";
    for (const photo of photos) await send(photo);
  });

  /* The button beside a damage says what the photo will show, and opens the camera. */
  document.addEventListener("click", function (event) {
    const button = event.target.closest("[data-photograph]");
    if (!button) return;
    event.preventDefault();
    const number = button.dataset.photograph;
    const many = document.querySelector('[data-camera] select[name="damage"]');
    const choice = document.querySelector('[data-camera] [name="damage"][value="' + number + '"]');
    if (many) many.value = number;
    else if (choice) choice.checked = true;
    document.getElementById("camera-file").click();
  });

  window.addEventListener("beforeunload", function (event) {
    const failed = document.querySelector('.photo[data-state="failed"] [data-photo-again]:not([hidden])');
    if (sending || failed) event.preventDefault();
  });

  document.addEventListener("DOMContentLoaded", function () {
    document.querySelectorAll("[data-photos]").forEach(count);
    document.querySelectorAll("[data-camera]").forEach(function (form) { form.dataset.ready = ""; });
  });
  document.addEventListener("htmx:afterSettle", function () { document.querySelectorAll("[data-photos]").forEach(count); });

  /* The tag opens beside the page while the tap on the button still counts as the person's own. */
  document.addEventListener("htmx:beforeOnLoad", function (event) {
    const form = event.target.closest ? event.target.closest("[data-opens]") : null;
    if (form && event.detail.xhr.getResponseHeader("HX-Redirect")) window.open(form.dataset.opens, "_blank");
  });
})();
