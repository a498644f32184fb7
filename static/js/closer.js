/* Closer to a drawing: by two fingers, by ctrl and the wheel, by a double tap, by the buttons under it, by + − 0.
   Only the window moves (viewBox): a tap still means the point of the cloth that was touched. Tags keep their size. */
(function () {
  "use strict";
  const STEP = 2;
  const MOST = 12;
  const SLIP_PX = 12;
  const MOVE_MS = 180;
  const EDGE = 0.12;
  const views = new Map();
  const drawn = new WeakMap();
  const fingers = new Map();
  let held = null;
  let moving = 0;

  function frameOf(target) { return target instanceof Element ? target.closest("[data-closer]") : null; }
  function sheetOf(frame) { return frame.querySelector("svg.diagram"); }
  function still() { return window.matchMedia("(prefers-reduced-motion: reduce)").matches; }

  /* What of a drawing is seen; a drawing that was drawn anew is seen as it was, while it is of the same size. */
  function viewOf(svg) {
    const known = views.get(svg.id);
    if (known && known.svg === svg) return known;
    const box = svg.viewBox.baseVal;
    const whole = { x: box.x, y: box.y, w: box.width, h: box.height };
    const same = known && ["x", "y", "w", "h"].every(function (name) { return Math.abs(known.whole[name] - whole[name]) < 1e-6; });
    const view = { svg: svg, whole: whole, now: same ? known.now : whole };
    views.set(svg.id, view);
    return view;
  }

  function kept(at, low, high) { return Math.min(Math.max(at, low), Math.max(low, high)); }

  /* A window of this width with a point of the cloth at the same share of it, never off the sheet. */
  function frameAt(view, w, at, share) {
    const whole = view.whole;
    const wide = kept(w, whole.w / MOST, whole.w);
    const tall = wide * whole.h / whole.w;
    return {
      x: kept(at.x - share.x * wide, whole.x, whole.x + whole.w - wide),
      y: kept(at.y - share.y * tall, whole.y, whole.y + whole.h - tall),
      w: wide, h: tall,
    };
  }

  function show(view, next) {
    view.now = next;
    view.svg.setAttribute("viewBox", [next.x, next.y, next.w, next.h].map(function (n) { return n.toFixed(4); }).join(" "));
    const near = next.w < view.whole.w * 0.999;
    const frame = frameOf(view.svg);
    frame.toggleAttribute("data-near", near);
    mark(frame, "whole", !near);
    mark(frame, "in", next.w <= view.whole.w / MOST * 1.001);
    resize(view);
  }

  /* Not disabled: the focus stays on a button that has done all it can. */
  function mark(frame, name, done) {
    const button = frame.querySelector('[data-nearer="' + name + '"]');
    if (button) button.setAttribute("aria-disabled", String(done));
  }

  /* Tags, threads and marks are as large on the screen as before, about the point that they belong to. */
  function resize(view) {
    const scale = view.now.w / view.whole.w;
    const knots = Array.from(view.svg.querySelectorAll(".knots > circle"), function (knot) {
      return { part: knot, x: Number(knot.getAttribute("cx")), y: Number(knot.getAttribute("cy")) };
    });
    const tags = view.svg.querySelectorAll(".tags > *");
    knots.forEach(function (knot, n) { [knot.part, tags[n]].forEach(function (part) { about(part, knot, scale); }); });
    view.svg.querySelectorAll("[data-mark-x]").forEach(function (part) {
      about(part, { x: Number(part.dataset.markX), y: Number(part.dataset.markY) }, scale);
    });
    shorten(view.svg.querySelectorAll(".threads > *"), knots, scale);
  }
  function about(part, at, scale) {
    if (!part) return;
    if (!drawn.has(part)) drawn.set(part, part.getAttribute("transform") || "");
    const own = drawn.get(part);
    const grown = "translate(" + at.x + " " + at.y + ") scale(" + scale.toFixed(5) + ") translate(" + -at.x + " " + -at.y + ") ";
    if (scale < 0.999) part.setAttribute("transform", grown + own);
    else if (own) part.setAttribute("transform", own);
    else part.removeAttribute("transform");
  }
  /* Each thread is a piece of a path: from its knot by way of its sag to the eye of its tag. */
  function shorten(paths, knots, scale) {
    let nth = 0;
    paths.forEach(function (path) {
      if (!drawn.has(path)) drawn.set(path, path.getAttribute("d"));
      const pieces = drawn.get(path).split(/(?=M)/).map(function (piece) {
        const knot = knots[nth];
        nth += 1;
        if (!knot || scale > 0.999) return piece;
        let turn = 0;
        return piece.replace(/-?\d*\.?\d+/g, function (figure) {
          const from = turn % 2 ? knot.y : knot.x;
          turn += 1;
          return (from + (Number(figure) - from) * scale).toFixed(4);
        });
      });
      path.setAttribute("d", pieces.join(""));
    });
  }

  function glide(view, next) {
    cancelAnimationFrame(moving);
    if (still()) { show(view, next); return; }
    const from = view.now, begun = performance.now();
    (function step(time) {
      const part = kept((time - begun) / MOVE_MS, 0, 1), eased = 1 - (1 - part) * (1 - part);
      const between = {};
      ["x", "y", "w", "h"].forEach(function (name) { between[name] = from[name] + (next[name] - from[name]) * eased; });
      show(view, part < 1 ? between : next);
      if (part < 1) moving = requestAnimationFrame(step);
    })(begun);
  }

  function cloth(svg, clientX, clientY) { return new DOMPoint(clientX, clientY).matrixTransform(svg.getScreenCTM().inverse()); }
  function shareOf(view, at) { return { x: (at.x - view.now.x) / view.now.w, y: (at.y - view.now.y) / view.now.h }; }

  function zoom(view, factor, at) {
    const inside = shareOf(view, at).x >= 0 && shareOf(view, at).x <= 1;
    glide(view, frameAt(view, view.now.w / factor, at, inside ? shareOf(view, at) : { x: 0.5, y: 0.5 }));
  }

  /* Where the buttons lead: to the middle of what is seen; from the whole, to the open damage. */
  function aim(view) {
    const middle = { x: view.now.x + view.now.w / 2, y: view.now.y + view.now.h / 2 };
    if (view.now.w < view.whole.w * 0.999) return middle;
    const open = document.querySelector("[data-tab][aria-current]");
    const tags = Array.from(view.svg.querySelectorAll(".tags [data-pin]"));
    const found = Math.max(tags.findIndex(function (tag) { return open && tag.dataset.pin === open.dataset.tab; }), 0);
    const knot = view.svg.querySelectorAll(".knots > circle")[found];
    return knot ? { x: Number(knot.getAttribute("cx")), y: Number(knot.getAttribute("cy")) } : middle;
  }

  function closer(view, at) { glide(view, frameAt(view, view.now.w / STEP, at, { x: 0.5, y: 0.5 })); }

  document.addEventListener("click", function (event) {
    const button = event.target instanceof Element && event.target.closest("[data-nearer]");
    if (!button) return;
    const view = viewOf(sheetOf(frameOf(button)));
    if (button.dataset.nearer === "whole") glide(view, view.whole);
    else closer(view, aim(view));
  });

  /* A second tap at the same place, which pins nothing. */
  document.addEventListener("drawing:twice", function (event) {
    const frame = frameOf(event.target);
    if (!frame) return;
    const view = viewOf(sheetOf(frame)), at = cloth(view.svg, event.detail.x, event.detail.y);
    if (view.now.w <= view.whole.w / MOST * 1.001) glide(view, view.whole);
    else zoom(view, STEP, at);
  });

  document.addEventListener("keydown", function (event) {
    const frame = frameOf(event.target);
    if (!frame || event.ctrlKey || event.metaKey || event.altKey || event.target.matches("input, textarea")) return;
    const view = viewOf(sheetOf(frame)), part = event.target.closest("[data-region]");
    const at = part ? { x: parseFloat(part.dataset.x), y: parseFloat(part.dataset.y) } : aim(view);
    if (event.key === "+" || event.key === "=") closer(view, at);
    else if (event.key === "-" || event.key === "−") zoom(view, 1 / STEP, at);
    else if (event.key === "0") glide(view, view.whole);
    else return;
    event.preventDefault();
  });

  /* Whoever walks on by keys is shown where they are. */
  document.addEventListener("focusin", function (event) {
    const part = event.target instanceof Element && event.target.closest("[data-closer] [data-region]");
    if (!part || !part.matches(":focus-visible")) return;
    const view = viewOf(part.ownerSVGElement), at = { x: parseFloat(part.dataset.x), y: parseFloat(part.dataset.y) };
    const share = shareOf(view, at);
    if (Math.min(share.x, share.y) < EDGE || Math.max(share.x, share.y) > 1 - EDGE)
      glide(view, frameAt(view, view.now.w, at, { x: 0.5, y: 0.5 }));
  });

  document.addEventListener("wheel", function (event) {
    const frame = event.ctrlKey && frameOf(event.target);
    if (!frame || !event.target.closest("svg")) return;
    event.preventDefault();
    const view = viewOf(sheetOf(frame)), at = cloth(view.svg, event.clientX, event.clientY);
    show(view, frameAt(view, view.now.w * Math.exp(kept(event.deltaY, -50, 50) / 100), at, shareOf(view, at)));
  }, { passive: false });

  function middle() {
    const all = Array.from(fingers.values());
    const sum = all.reduce(function (so, one) { return { x: so.x + one.x, y: so.y + one.y }; }, { x: 0, y: 0 });
    const apart = all.length > 1 ? Math.hypot(all[0].x - all[1].x, all[0].y - all[1].y) : 0;
    return { x: sum.x / all.length, y: sum.y / all.length, apart: Math.max(apart, 1) };
  }

  /* What the fingers hold: the point of the cloth between them, and how wide the window was. */
  function hold(svg) {
    cancelAnimationFrame(moving);
    const view = viewOf(svg), at = middle();
    held = fingers.size ? { view: view, cloth: cloth(svg, at.x, at.y), from: at, w: view.now.w, count: fingers.size, slipped: held ? held.slipped : false } : null;
  }

  document.addEventListener("pointerdown", function (event) {
    const frame = frameOf(event.target);
    const svg = frame && event.target.closest("svg.diagram");
    if (!svg || event.button !== 0) return;
    if (event.isPrimary) fingers.clear();
    if (fingers.size === 2) return;
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (event.isPrimary) held = null;
    hold(svg);
  });

  document.addEventListener("pointermove", function (event) {
    if (!held || !fingers.has(event.pointerId)) return;
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    const view = held.view, at = middle(), near = view.now.w < view.whole.w * 0.999;
    if (held.count === 1 && !near) return;
    if (!held.slipped && held.count === 1 && Math.hypot(at.x - held.from.x, at.y - held.from.y) <= SLIP_PX) return;
    if (!held.slipped) fingers.forEach(function (_, id) { try { view.svg.setPointerCapture(id); } catch (gone) { fingers.delete(id); } });
    held.slipped = true;
    const box = view.svg.getBoundingClientRect(), fit = view.svg.getScreenCTM().a * view.now.w;
    const share = { x: (at.x - box.left - (box.width - fit) / 2) / fit, y: (at.y - box.top - (box.height - fit * view.whole.h / view.whole.w) / 2) / (fit * view.whole.h / view.whole.w) };
    show(view, frameAt(view, held.count === 2 ? held.w * held.from.apart / at.apart : view.now.w, held.cloth, share));
  });

  ["pointerup", "pointercancel"].forEach(function (name) {
    document.addEventListener(name, function (event) {
      if (!fingers.delete(event.pointerId) || !held) return;
      const slipped = held.slipped;
      hold(held.view.svg);
      if (held) held.slipped = slipped;
    });
  });
  /* Two fingers on a drawing never move the page. */
  document.addEventListener("touchmove", function (event) {
    if (event.touches.length > 1 && frameOf(event.target) && event.cancelable) event.preventDefault();
  }, { passive: false });

  function ready() {
    document.querySelectorAll("[data-closer]").forEach(function (frame) {
      const svg = sheetOf(frame), tools = frame.querySelector("[data-nearer-tools]");
      if (!svg) return;
      if (tools) tools.hidden = false;
      frame.dataset.ready = "";
      const view = viewOf(svg);
      show(view, view.now);
    });
  }
  document.addEventListener("DOMContentLoaded", ready);
  document.addEventListener("htmx:afterSettle", ready);
  document.addEventListener("htmx:oobAfterSwap", ready);
})();
