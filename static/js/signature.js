/* A box to sign in with finger, pen or mouse. The strokes are kept as shares of its width and height in a
   hidden field, so that they can be drawn again at any size. */
(function () {
  "use strict";
  const LEAST = 0.003;
  const MOST = 5000;

  function begin(root) {
    const screen = root.querySelector("[data-sign-screen]");
    const canvas = root.querySelector("[data-sign-canvas]");
    const field = root.querySelector("input[name=signature]");
    const clear = root.querySelector("[data-sign-clear]");
    const state = root.querySelector("[data-sign-state]");
    const ink = canvas.getContext("2d");
    let strokes = read();
    let running = null;

    function read() {
      try {
        const kept = JSON.parse(field.value || "[]");
        return Array.isArray(kept) ? kept.filter(Array.isArray) : [];
      } catch { return []; }
    }

    function count() { return strokes.reduce((sum, stroke) => sum + stroke.length, 0); }

    function keep() {
      field.value = strokes.length ? JSON.stringify(strokes) : "";
      clear.hidden = strokes.length === 0;
      state.textContent = strokes.length ? say("Signed.") : say("Sign in the box.");
    }

    function fit() {
      const wide = Math.round(canvas.clientWidth * (window.devicePixelRatio || 1));
      if (!wide) return;
      canvas.width = wide;
      canvas.height = Math.round(wide * 160 / 500);
      draw();
    }

    function draw() {
      ink.clearRect(0, 0, canvas.width, canvas.height);
      ink.strokeStyle = ink.fillStyle = getComputedStyle(canvas).color;
      ink.lineWidth = Math.max(2, canvas.width / 150);
      ink.lineCap = ink.lineJoin = "round";
      strokes.forEach(line);
    }

    function line(stroke) {
      ink.beginPath();
      stroke.forEach(([x, y], at) => {
        if (at) ink.lineTo(x * canvas.width, y * canvas.height);
        else ink.moveTo(x * canvas.width, y * canvas.height);
      });
      if (stroke.length === 1) ink.lineTo(stroke[0][0] * canvas.width, stroke[0][1] * canvas.height);
      ink.stroke();
    }

    function share(event) {
      const box = canvas.getBoundingClientRect();
      const within = (value) => Math.round(Math.min(1, Math.max(0, value)) * 10000) / 10000;
      return [within((event.clientX - box.left) / box.width), within((event.clientY - box.top) / box.height)];
    }

    function add(event) {
      if (count() >= MOST) return;
      const point = share(event);
      const last = running[running.length - 1];
      if (last && Math.abs(last[0] - point[0]) < LEAST && Math.abs(last[1] - point[1]) < LEAST) return;
      running.push(point);
    }

    canvas.addEventListener("pointerdown", function (event) {
      if (!event.isPrimary || event.button) return;
      event.preventDefault();
      canvas.setPointerCapture(event.pointerId);
      running = [];
      strokes.push(running);
      add(event);
      draw();
    });
    canvas.addEventListener("pointermove", function (event) {
      if (!running || !event.isPrimary) return;
      const passed = event.getCoalescedEvents ? event.getCoalescedEvents() : [];
      (passed.length ? passed : [event]).forEach(add);
      draw();
    });
    function end() {
      if (!running) return;
      running = null;
      strokes = strokes.filter((stroke) => stroke.length);
      keep();
    }
    canvas.addEventListener("pointerup", end);
    canvas.addEventListener("pointercancel", end);
    clear.addEventListener("click", function () {
      strokes = [];
      keep();
      draw();
      state.textContent = say("Cleared. Sign in the box.");
    });

    screen.hidden = false;
    root.querySelector("[data-sign-none]").hidden = true;
    keep();
    new ResizeObserver(fit).observe(canvas);
    window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
    document.addEventListener("look", draw);
    fit();
  }

  function offer(root) {
    root.querySelectorAll("[data-signature]:not([data-signing])").forEach(function (box) {
      box.dataset.signing = "yes";
      begin(box);
    });
  }
  document.addEventListener("htmx:load", function (event) { offer(event.detail.elt); });
  offer(document);
})();
