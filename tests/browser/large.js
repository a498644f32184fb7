/* What large letters do to a page: words that are cut off by their own box, words that lie on other words. */
() => {
  const SLACK = 2;
  const said = (one) => one.outerHTML.replace(/\s+/g, " ").slice(0, 120);
  /* Said to those who hear the page, or a trap for programs: never seen. */
  const unseen = (one) => one.closest(".visually-hidden, .skip, .enquiry-unseen") || one.clientWidth === 1 && one.clientHeight === 1;
  const visible = (one) => !unseen(one) && one.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && !one.closest("svg");
  const cut = Array.from(document.querySelectorAll("body *")).filter((one) => {
    if (!visible(one) || !one.textContent.trim()) return false;
    const style = getComputedStyle(one);
    const across = /hidden|clip/.test(style.overflowX) && one.scrollWidth > one.clientWidth + SLACK;
    const down = /hidden|clip/.test(style.overflowY) && one.scrollHeight > one.clientHeight + SLACK;
    return across || down;
  }).map((one) => `cut: ${said(one)}`);

  /* What sticks to an edge of the window lies over what is scrolled beneath it. */
  const sticky = (one) => { for (; one; one = one.parentElement) if (/sticky|fixed/.test(getComputedStyle(one).position)) return true; return false; };
  const scrolled = (one) => { for (; one; one = one.parentElement) if (/auto|scroll/.test(getComputedStyle(one).overflow)) return true; return false; };
  const boxes = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const at = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || !visible(at) || at.closest("option, textarea") || sticky(at) || scrolled(at)) continue;
    const range = document.createRange();
    range.selectNodeContents(walk.currentNode);
    for (const box of range.getClientRects()) if (box.width > 1 && box.height > 1) boxes.push({ box, at, node: walk.currentNode });
  }
  boxes.sort((one, other) => one.box.top - other.box.top);
  const lies = [];
  boxes.forEach((one, n) => {
    for (let m = n + 1; m < boxes.length && boxes[m].box.top < one.box.bottom; m += 1) {
      const other = boxes[m];
      if (other.node === one.node || other.at.contains(one.at) && other.at === one.at) continue;
      const down = Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top);
      const across = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
      /* The rows of one paragraph stand closer than their letters are high. */
      if (across > SLACK && down > 0.45 * Math.min(one.box.height, other.box.height)) lies.push(`overlaps: ${said(one.at)} | ${said(other.at)}`);
    }
  });
  return cut.concat(lies.slice(0, 5));
}
