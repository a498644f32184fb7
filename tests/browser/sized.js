/* What is smaller than a finger: links in a sentence lie in its line, and parts of a drawing are as large as they are. */
(least) => {
  const TAPPED = "a[href], button, summary, select, textarea, input:not([type=hidden])";
  const visible = (one) => one.checkVisibility({ visibilityProperty: true }) && one.getBoundingClientRect().width > 1.5;

  function inSentence(link) {
    if (!link.matches("a") || getComputedStyle(link).display !== "inline") return false;
    let block = link.parentElement;
    while (getComputedStyle(block).display.startsWith("inline") && getComputedStyle(block).display === "inline") block = block.parentElement;
    const words = (one) => one.textContent.replace(/\s+/g, " ").trim().length;
    return words(block) > words(link) + 1;
  }

  /* A box to tick is tapped by its label, too. */
  function box(one) {
    const boxes = [one, ...(one.labels && one.matches("[type=radio], [type=checkbox]") ? one.labels : [])]
      .filter((each) => each.checkVisibility()).map((each) => each.getBoundingClientRect());
    const choice = one.closest(".choice");
    if (choice) boxes.push(choice.getBoundingClientRect());
    const after = getComputedStyle(one, "::after");
    /* A link that is stretched over the row it stands in. */
    if (after.position === "absolute" && after.content !== "none") {
      const height = parseFloat(after.height), width = parseFloat(after.width);
      boxes.push({ width, height });
    }
    return { width: Math.max(...boxes.map((each) => each.width)), height: Math.max(...boxes.map((each) => each.height)) };
  }

  return Array.from(document.querySelectorAll(TAPPED))
    .filter((one) => visible(one) && !one.closest("svg, .visually-hidden, .skip, .enquiry-unseen") && !inSentence(one))
    .map((one) => [one.outerHTML.replace(/\s+/g, " ").slice(0, 140), box(one)])
    .filter(([, at]) => at.height < least - 0.5 || at.width < least - 0.5)
    .map(([words, at]) => `${Math.round(at.width)}×${Math.round(at.height)} ${words}`);
}
