/* What a screen reader's user meets, gathered in one look: every control with the words that are seen on it,
   headings, pictures, tables and landmarks. The accessible names themselves the browser tells (`everyone.py`). */
() => {
  const CONTROLS = "a[href], button, summary, input:not([type=hidden]), select, textarea, [role=button], [role=radio], [tabindex='0']";
  const shown = (one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: false }) && !one.closest("[aria-hidden=true]");
  const every = (what) => Array.from(document.querySelectorAll(what)).filter(shown);
  const hidden = (one) => one.closest(".visually-hidden, [aria-hidden=true], svg") !== null;

  /* The words that somebody sees on it, and would say aloud to have it pressed. */
  function seen(control) {
    const words = [];
    const walk = document.createTreeWalker(control, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const at = walk.currentNode.parentElement;
      if (at.checkVisibility({ visibilityProperty: true }) && !hidden(at)) words.push(walk.currentNode.data);
    }
    return words.join(" ").replace(/\s+/g, " ").trim();
  }

  function target(control) {
    if (control.matches("a")) return new URL(control.href.baseVal || control.href, location.href).href;
    if (!control.matches("button") || !control.form) return "";
    const sent = new FormData(control.form);
    sent.delete("csrfmiddlewaretoken");
    return `${control.formAction} ${new URLSearchParams(sent)} ${control.name}=${control.value}`;
  }

  function inGroup(control) {
    const group = control.closest("fieldset, [role=group], [role=radiogroup]");
    if (!group) return "";
    const by = group.getAttribute("aria-labelledby");
    const legend = by ? document.getElementById(by.split(" ")[0]) : group.querySelector(":scope > legend");
    return (group.getAttribute("aria-label") || (legend && legend.textContent) || "").replace(/\s+/g, " ").trim();
  }

  const controls = every(CONTROLS).map((control, n) => {
    control.setAttribute("data-heard", n);
    return {
      tag: control.localName, type: control.type || "", target: target(control), group: inGroup(control),
      seen: control.matches("a, button, summary") ? seen(control) : "", drawn: control instanceof SVGElement,
      html: control.outerHTML.replace(/\s+/g, " ").slice(0, 160),
    };
  });
  const headings = every("h1, h2, h3, h4, h5, h6").map((one) => [Number(one.localName[1]), one.textContent.trim()]);
  return {
    controls, headings,
    lang: document.documentElement.lang, title: document.title,
    pictures: every("img:not([alt])").map((one) => one.outerHTML.slice(0, 160)),
    drawings: every("svg").filter((one) => !one.closest("a, button, [role=img], summary, figure[aria-label], label"))
      .filter((one) => !one.getAttribute("aria-label") && !one.getAttribute("aria-labelledby") && !one.querySelector(":scope > title"))
      .map((one) => one.outerHTML.slice(0, 120)),
    tables: every("table").filter((one) => !one.querySelector("th")).map((one) => one.outerHTML.slice(0, 160)),
    navs: every("nav").map((one) => one.getAttribute("aria-label") || one.getAttribute("aria-labelledby") || ""),
    mains: every("main").length,
    /* Whoever sets an order of his own sets it for a page that is no more as he knew it. */
    ahead: every("[tabindex]").filter((one) => one.tabIndex > 0).map((one) => one.outerHTML.slice(0, 120)),
  };
}
