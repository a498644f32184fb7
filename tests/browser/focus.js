/* Asked after every key: where the focus is, whether somebody sees it there, and whether it is what is sought. */
() => {
  const at = document.activeElement;
  const lost = !at || at === document.body || at === document.documentElement;
  const fresh = window.here === undefined;
  window.here = true;
  const LOOKS = ["outlineStyle", "outlineWidth", "outlineColor", "boxShadow", "borderTopColor", "borderTopWidth", "backgroundColor", "stroke", "strokeWidth", "fill", "textDecorationLine", "textDecorationThickness", "insetInlineStart", "opacity", "transform"];
  const look = (one) => ["", "::before", "::after"].map((part) => { const style = getComputedStyle(one, part || null); return LOOKS.map((name) => style[name]).join(); }).join("|");
  const around = (one) => [one, one.nextElementSibling, ...(one.labels || []), one.parentElement, one.closest("li, .row, .bench-row, fieldset, figure"), ...Array.from(one instanceof SVGElement ? one.querySelectorAll("*") : one.children).slice(0, 12)].filter(Boolean);
  const looks = (one) => around(one).map(look).join("¦");

  /* What the last one looked like with the focus must not be what it looks like without. */
  let unseen = "";
  const last = window.lastFocus;
  if (last && last.at !== at && last.at.getAttribute("tabindex") !== "-1" && last.at.isConnected && last.at.checkVisibility() && looks(last.at) === last.looks) unseen = `looks the same with the focus and without: ${last.said}`;

  if (lost) { window.lastFocus = null; return { lost, fresh, unseen, sought: false, said: "" }; }
  const said = at.outerHTML.replace(/\s+/g, " ").slice(0, 150);
  /* A date has several stops of its own: its parts, and the button that opens its calendar. */
  window.lastFocus = last && last.at === at ? last : { at, looks: looks(at), said };

  /* A field for files, or a box to tick, may be drawn by its label alone. */
  const drawn = getComputedStyle(at).opacity === "0" && at.labels && at.labels[0] || at;
  const box = drawn.getBoundingClientRect();
  const left = Math.max(box.left, 0), right = Math.min(box.right, innerWidth), top = Math.max(box.top, 0), bottom = Math.min(box.bottom, innerHeight);
  const mine = (one) => one && (drawn.contains(one) || at.contains(one) || one.contains(at) && (one.matches("label, .choice, svg, g") || one === at.parentElement) || at.labels && Array.from(at.labels).some((label) => label.contains(one)));
  let hidden = "";
  if (!at.matches("main, h1, h2, [tabindex='-1']")) {
    if (right - left < 1 || bottom - top < 1) hidden = `out of sight: ${said}`;
    else if (!(at instanceof SVGElement)) {
      const points = [0.1, 0.5, 0.9].flatMap((x) => [0.1, 0.5, 0.9].map((y) => [left + (right - left) * x, top + (bottom - top) * y]));
      if (!points.some(([x, y]) => mine(document.elementFromPoint(x, y)))) hidden = `covered by something: ${said}`;
    }
  }
  return { lost, fresh, unseen, hidden, said, sought: at.hasAttribute("data-sought") };
}
