/* What is chosen, in high contrast: each with the like of it that is not chosen, where both look the same. */
() => {
  const CHOSEN = "[aria-current]:not([aria-current=false]), [aria-pressed=true], [aria-selected=true], input:checked";
  const LOOKS = ["outlineStyle", "outlineWidth", "borderTopStyle", "borderTopWidth", "borderBottomWidth", "borderInlineStartWidth", "fontWeight", "textDecorationLine", "content", "backgroundColor", "color", "boxShadow", "borderTopColor", "clipPath", "display"];
  const look = (one) => ["", "::before", "::after"].map((part) => {
    const style = getComputedStyle(one, part || null);
    return LOOKS.map((name) => style[name]).join("|");
  }).join("¦");
  const looks = (one) => [look(one), ...Array.from(one.children, look)].join("§");
  const seen = (one) => (one.matches("input") && one.closest(".choice, .face, label") ? one.nextElementSibling || one : one);
  const plain = { "input": (one) => !one.checked };
  return Array.from(document.querySelectorAll(CHOSEN)).filter((one) => one.checkVisibility() && !one.closest("svg")).flatMap((one) => {
    if (one.matches("input") && getComputedStyle(one).opacity !== "0") return [];
    const same = one.matches("input") ? `input[type=${one.type}]` : one.localName;
    const within = one.closest("fieldset, nav, ol, ul, .choices, [role=group], form") || document.body;
    const other = Array.from(within.querySelectorAll(same)).find((each) => each !== one && each.checkVisibility() && each.className === one.className && each.closest(".choice, li, nav")?.className === one.closest(".choice, li, nav")?.className &&
      (one.matches("input") ? !each.checked : !each.matches(CHOSEN)));
    if (!other || looks(seen(one)) !== looks(seen(other))) return [];
    return [one.outerHTML.replace(/\s+/g, " ").slice(0, 140)];
  });
}
