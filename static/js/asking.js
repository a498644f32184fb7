/* How pages ask for parts of themselves: nothing inline, nothing kept of pages that were left, and an answer that
   refuses what was typed is shown as any other. What came in listens at once: a key or a tap in the moment after a
   swap is not lost. It stands here and not in each page, which it made heavier. */
Object.assign(window.htmx.config, {
  includeIndicatorStyles: false,
  allowEval: false,
  historyRestoreAsHxRequest: false,
  historyCacheSize: 0,
  defaultSettleDelay: 0,
  responseHandling: [
    { code: "204", swap: false },
    { code: "[23]..", swap: true },
    { code: "422", swap: true },
    { code: "[45]..", swap: false, error: true },
  ],
});
