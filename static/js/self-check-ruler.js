/* A damage beside the length from which it rips on, to scale, as the shop draws it while there is a line. */
(function () {
  "use strict";
  const EDGE = 6, WIDE = 340, HATCH = 7, SLANT = 44, BOTTOM = 48;
  const TICKS_MM = [1, 5, 10, 50, 100, 500], MOST_TICKS = 16;

  /* A length that nobody knows reaches the ruler's end. */
  window.selfCheckRuler = function (figure, lengthMm, runsAtMm) {
    const end = 1.25 * Math.max(lengthMm || 0, runsAtMm);
    const at = (mm) => EDGE + Math.min(mm, end) * (WIDE - 2 * EDGE) / end;
    const wall = at(runsAtMm), tip = at(lengthMm || end), right = WIDE - EDGE;
    const draw = (name, path) => figure.querySelector(".ruled-" + name).setAttribute("d", path);
    const ground = figure.querySelector(".ruled-ground");
    ground.setAttribute("x", wall);
    ground.setAttribute("width", right - wall);
    draw("hatch", hatch(wall, right));
    draw("wall", `M${wall} 0V52`);
    draw("cut", `M${EDGE} 26H${tip}`);
    draw("cap", `M${EDGE} 15V37` + (lengthMm ? `M${tip} 15V37` : ""));
    draw("base", `M${EDGE} 56H${right}` + ticks(end, at));
    figure.querySelector("[data-known]").hidden = !lengthMm;
    figure.querySelector("[data-not-known]").hidden = Boolean(lengthMm);
  };

  function hatch(left, right) {
    const lines = [];
    for (let x = left - SLANT; x < right; x += HATCH) {
      const low = Math.max(x, left), high = Math.min(x + SLANT, right);
      if (low < high) lines.push(`M${low} ${BOTTOM - (low - x)}L${high} ${BOTTOM - (high - x)}`);
    }
    return lines.join("");
  }

  function ticks(end, at) {
    const tick = TICKS_MM.find((mm) => end / mm <= MOST_TICKS) || TICKS_MM[TICKS_MM.length - 1];
    const count = Math.floor(end / tick) + 1;
    return Array.from({ length: count }, (_, n) => `M${at(n * tick)} 56v${n % 5 ? 7 : 12}`).join("");
  }
})();
