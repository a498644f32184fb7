/* Reads a code by the camera into a form marked data-scan, which names its field. Only where the browser itself
   reads codes: elsewhere there is no button, and everywhere a code may be typed. A link of this shop is opened;
   any other text fills the field, and is searched for where the field searches. No other host is ever opened. */
(function () {
  "use strict";
  const EVERY_MS = 160;
  const MARK = ["M3 9V4h5", "M16 4h5v5", "M21 15v5h-5", "M8 20H3v-5", "M7 9v6", "M10.5 9v6", "M13.5 9v6", "M17 9v6"];
  const LINK_OUTSIDE = /^\/[cos]\//;
  const SHEET = /^\/jobs\/(\d{1,9})\/?$/;
  const ADDRESS = /^[a-z][a-z0-9+.-]*:/i;
  let detector = null, form = null, stream = null, turn = 0, box = null;

  function made(name, given, inside) {
    const element = Object.assign(document.createElement(name), given);
    element.append.apply(element, inside || []);
    return element;
  }
  function drawing() {
    const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    svg.setAttribute("viewBox", "0 0 24 24");
    svg.setAttribute("aria-hidden", "true");
    MARK.forEach(function (line) {
      const path = document.createElementNS(svg.namespaceURI, "path");
      path.setAttribute("d", line);
      svg.append(path);
    });
    return svg;
  }

  /* The button, beside the field that it fills. */
  function fieldOf(one) { return one.elements[one.dataset.scan]; }
  function offer(part) {
    const forms = Array.from(part.querySelectorAll("form[data-scan]"));
    if (part.matches("form[data-scan]")) forms.push(part);
    forms.forEach(function (one) {
      const field = fieldOf(one);
      if (!field || one.querySelector(".scan")) return;
      const button = made("button", { type: "button", className: "scan button" }, [drawing(), made("span", { textContent: say("Scan") })]);
      button.addEventListener("click", function () { open(one); });
      field.after(button);
    });
  }

  /* The dialog: made once, when somebody first asks for it. */
  function dialog() {
    if (box) return box;
    const video = made("video", { playsInline: true, muted: true, className: "scanner-live" });
    const again = made("button", { type: "button", className: "button is-wide scanner-again", textContent: say("Try again"), hidden: true });
    const type = made("button", { type: "button", className: "button is-wide scanner-type", textContent: say("Type it instead") });
    const title = made("h2", { id: "scanner-title", textContent: say("Scan a code") });
    const words = made("p", { className: "scanner-words" });
    words.setAttribute("role", "status");
    const view = made("div", { className: "scanner-view" }, [video, made("div", { className: "scanner-frame" })]);
    box = made("dialog", { className: "scanner" }, [title, view, words, again, type]);
    box.setAttribute("aria-labelledby", title.id);
    box.addEventListener("close", stop);
    again.addEventListener("click", start);
    type.addEventListener("click", function () { close(true); });
    document.body.append(box);
    return box;
  }
  function part(name) { return dialog().querySelector(".scanner-" + name); }

  function tell(words, isWrong, mayTryAgain) {
    const said = part("words");
    if (said.textContent !== words) said.textContent = words;
    said.classList.toggle("is-wrong", Boolean(isWrong));
    part("again").hidden = !mayTryAgain;
  }

  function open(one) {
    form = one;
    dialog().showModal();
    part("type").focus();
    start();
  }
  function close(toField) {
    box.close();
    if (toField) fieldOf(form).focus();
  }
  function stop() {
    turn += 1;
    if (stream) stream.getTracks().forEach(function (track) { track.stop(); });
    stream = null;
    part("live").srcObject = null;
  }

  async function start() {
    stop();
    const mine = turn;
    tell(say("The camera is starting …"));
    part("view").hidden = false;
    try {
      const begun = await navigator.mediaDevices.getUserMedia({ audio: false, video: { facingMode: { ideal: "environment" } } });
      if (mine !== turn) { begun.getTracks().forEach(function (track) { track.stop(); }); return; }
      stream = begun;
      part("live").srcObject = stream;
      await part("live").play();
    } catch (error) {
      if (mine === turn) refuse(error.name);
      return;
    }
    tell(say("Hold the code of a tag, a paper or a lot inside the frame."));
    look(mine);
  }

  function refuse(name) {
    part("view").hidden = true;
    if (name === "NotAllowedError" || name === "SecurityError") {
      tell(say("This page may not use the camera. Allow it in the browser's settings and try again, or type the code."), true, true);
    } else if (name === "NotFoundError" || name === "OverconstrainedError") {
      tell(say("This device has no camera that can be used. Type the code."), true, false);
    } else if (name === "NotReadableError" || name === "AbortError") {
      tell(say("The camera is busy with something else. Close that and try again, or type the code."), true, true);
    } else {
      tell(say("The camera did not start. Try again, or type the code."), true, true);
    }
  }

  async function look(mine) {
    if (mine !== turn) return;
    let found = [];
    try { found = await detector.detect(part("live")); } catch (early) { /* No picture yet. */ }
    if (mine !== turn) return;
    if (found.length && take(found[0].rawValue.trim())) return;
    setTimeout(look, EVERY_MS, mine);
  }

  /* What was read, by what it is; whether that ends the reading. */
  function take(text) {
    const field = fieldOf(form);
    const address = /^https?:/i.test(text) ? ours(text) : null;
    if (address) {
      close(false);
      location.assign(location.origin + address);
      return true;
    }
    if (!text || address === "" || (field.type === "search" && ADDRESS.test(text))) {
      tell(say("This is no code of this shop."), true);
      return false;
    }
    return field.options ? choose(field, text) : fill(field, text);
  }

  /* The path of a link of this shop, as whoever works here wants it; empty for any other link. */
  function ours(text) {
    const own = document.querySelector("form[data-own]");
    let url = null;
    try { url = new URL(text); } catch (spoilt) { return ""; }
    const hosts = [location.host].concat(own ? new URL(own.dataset.own).host : []);
    if (!hosts.includes(url.host)) return "";
    if (LINK_OUTSIDE.test(url.pathname)) return "/search/?q=" + encodeURIComponent(text);
    const sheet = SHEET.exec(url.pathname);
    if (sheet && location.pathname.startsWith("/bench/")) return "/bench/jobs/" + sheet[1] + "/";
    return url.pathname + url.search + url.hash;
  }

  function fill(field, text) {
    field.value = field.maxLength > 0 ? text.slice(0, field.maxLength) : text;
    close(true);
    if (field.type === "search") form.requestSubmit();
    else field.dispatchEvent(new Event("input", { bubbles: true }));
    return true;
  }

  /* A lot among those to choose from, by its mark. */
  function choose(field, text) {
    const choice = Array.from(field.options).find(function (one) { return one.text.startsWith(text + ":"); });
    if (!choice) {
      tell(say("No lot to choose here is marked “%(mark)s”.", { mark: text.slice(0, 60) }), true);
      return false;
    }
    choice.selected = true;
    field.dispatchEvent(new Event("change", { bubbles: true }));
    close(true);
    return true;
  }

  async function begin() {
    if (!("BarcodeDetector" in window) || !navigator.mediaDevices || !document.querySelector("form[data-scan]")) return;
    const formats = await window.BarcodeDetector.getSupportedFormats();
    if (!formats.includes("qr_code")) return;
    detector = new window.BarcodeDetector({ formats: formats });
    document.addEventListener("htmx:load", function (event) { offer(event.detail.elt); });
    offer(document.body);
  }

  document.addEventListener("visibilitychange", function () {
    if (!box || !box.open) return;
    if (document.hidden) stop();
    else start();
  });
  window.addEventListener("pagehide", function () { if (box && box.open) box.close(); });
  begin();
})();
