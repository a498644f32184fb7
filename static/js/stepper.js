/* A length stepped up and down, or set by one of the usual ones; what is typed is sent after a pause. */
(function () {
  "use strict";
  const PAUSE_MS = 700;
  const timers = new WeakMap();
  const sent = new WeakMap();

  function read(text) {
    const match = /^\s*(?:(\d+)\s+)?(\d+)\s*\/\s*(\d+)\s*(.*)$/.exec(text);
    if (match) return { figure: Number(match[1] || 0) + Number(match[2]) / Number(match[3]), unit: match[4].trim() };
    const plain = /^\s*(\d*[.,]?\d+)\s*(.*)$/.exec(text);
    return plain ? { figure: parseFloat(plain[1].replace(",", ".")), unit: plain[2].trim() } : null;
  }

  /* Small steps while it is small. */
  function step(figure, unit, by) {
    const sizes = {
      mm: [[10, 1], [60, 5], [200, 10], [Infinity, 50]],
      cm: [[2, 0.5], [10, 1], [Infinity, 5]],
      m: [[Infinity, 0.05]],
      in: [[1, 1 / 8], [4, 1 / 4], [12, 1 / 2], [Infinity, 1]],
    }[unit] || [[Infinity, 1]];
    const size = sizes.find(function (pair) { return by < 0 ? figure <= pair[0] : figure < pair[0]; })[1];
    const whole = by > 0 ? Math.floor(figure / size + 1e-6) + 1 : Math.ceil(figure / size - 1e-6) - 1;
    return Math.max(whole, 1) * size;
  }

  function write(figure, unit) {
    if (unit !== "in" && unit !== '"') return String(Number(figure.toFixed(2))) + " " + unit;
    const eighths = Math.round(figure * 8);
    const whole = Math.floor(eighths / 8);
    let above = eighths % 8, below = 8;
    while (above && above % 2 === 0) { above /= 2; below /= 2; }
    return [whole || "", above ? above + "/" + below : ""].filter(Boolean).join(" ") + " in";
  }

  function set(input, value) {
    input.value = value;
    showChosen(input);
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }

  function showChosen(input) {
    input.closest(".length").querySelectorAll("[data-chip]").forEach(function (chip) {
      chip.setAttribute("aria-pressed", String(chip.value === input.value.trim()));
    });
  }

  document.addEventListener("click", function (event) {
    const by = event.target.closest("[data-stepper] [data-by]");
    const chip = event.target.closest("[data-chip]");
    if (by) {
      const box = by.closest("[data-stepper]");
      const input = box.querySelector("input");
      const now = read(input.value) || { figure: 0, unit: "" };
      const unit = now.unit || box.dataset.unit;
      set(input, write(step(now.figure, unit, Number(by.dataset.by)), unit));
    } else if (chip) {
      event.preventDefault();
      set(chip.closest(".length").querySelector("input"), chip.value);
    }
  });

  document.addEventListener("input", function (event) {
    const input = event.target;
    if (!input.matches(".typed")) return;
    showChosen(input);
    clearTimeout(timers.get(input));
    timers.set(input, setTimeout(function () {
      if (document.contains(input)) input.dispatchEvent(new CustomEvent("typed", { bubbles: true }));
    }, PAUSE_MS));
  });
  /* What was sent after a pause is not sent again when the finger goes elsewhere. */
  document.addEventListener("typed", function (event) { sent.set(event.target, event.target.value); });
  document.addEventListener("change", function (event) {
    const input = event.target;
    if (!input.matches(".typed")) return;
    clearTimeout(timers.get(input));
    if (event.isTrusted && sent.get(input) === input.value) event.stopPropagation();
    sent.set(input, input.value);
  }, true);

  /* Enter in the field saves; it does not press the first of the usual lengths. */
  document.addEventListener("keydown", function (event) {
    if (event.key !== "Enter" || !event.target.matches(".typed")) return;
    event.preventDefault();
    event.target.dispatchEvent(new Event("change", { bubbles: true }));
  });

  function ready() {
    document.querySelectorAll("[data-stepper] [data-by][hidden]").forEach(function (button) { button.hidden = false; });
    document.querySelectorAll("[data-save]").forEach(function (button) { button.hidden = true; });
    document.querySelectorAll(".typed").forEach(function (input) {
      const error = document.getElementById(input.getAttribute("aria-describedby"));
      input.setAttribute("aria-invalid", String(Boolean(error && error.textContent.trim())));
    });
  }
  document.addEventListener("DOMContentLoaded", ready);
  document.addEventListener("htmx:afterSettle", ready);
  document.addEventListener("htmx:oobAfterSwap", ready);
})();
