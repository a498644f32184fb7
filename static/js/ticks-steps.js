/* What the bench's page knows of its steps without asking: which are done, what each comes after, which is next. */
(function () {
  "use strict";
  const SETTLED = ["done", "skipped"];

  function find(id) { return document.getElementById("step-" + id); }
  function all() { return Array.from(document.querySelectorAll(".bench-step")); }
  function settled(article) { return SETTLED.includes(article.dataset.state); }

  function put(id, state) {
    const article = find(id);
    if (!article) return;
    article.dataset.state = state;
    if (state === "done") article.dataset.doneAt = new Date().toISOString();
    const row = document.querySelector('[data-row="' + id + '"]');
    if (row) row.dataset.state = state;
    document.querySelectorAll(".bench-step [data-before]").forEach(function (said) {
      const after = said.closest(".bench-step");
      if (before(after, id)) said.hidden = mayDo(after);
    });
  }

  /* Whether a step comes after another one, at once or through others that were left out. */
  function before(after, id) {
    const seen = new Set();
    counting(after, seen);
    return seen.has(String(id));
  }

  function counting(article, passed) {
    const seen = passed || new Set(), found = [];
    const ids = article.dataset.after.split(" ").filter(Boolean);
    while (ids.length) {
      const id = ids.shift(), before = find(id);
      if (!before || seen.has(id)) continue;
      seen.add(id);
      if (before.dataset.state === "skipped") ids.push.apply(ids, before.dataset.after.split(" ").filter(Boolean));
      else found.push(before);
    }
    return found;
  }

  function dryAt(article) {
    const hours = parseFloat(article.dataset.drying) || 0;
    return hours ? Date.parse(article.dataset.doneAt) + hours * 3600000 : 0;
  }
  function dry(article) { return dryAt(article) <= Date.now(); }

  /* When the first of what is left may be done, where only drying keeps it; 0 where something else does. */
  function freeAt() {
    const times = all().filter(function (article) { return !settled(article) && counting(article).every(settled); }).map(function (article) {
      return Math.max.apply(null, [0].concat(counting(article).map(dryAt)));
    });
    return times.length ? Math.min.apply(null, times) : 0;
  }

  function mayDo(article) {
    return !settled(article) && counting(article).every(function (before) { return settled(before) && dry(before); });
  }

  function nextAfter(id) {
    const every = all();
    const at = every.findIndex(function (article) { return article.dataset.step === String(id); });
    const free = every.slice(at + 1).concat(every.slice(0, at + 1)).filter(mayDo);
    return free.find(function (article) { return article.dataset.state === "waiting"; }) || free[0] || null;
  }

  window.shopSteps = { find: find, all: all, settled: settled, put: put, mayDo: mayDo, freeAt: freeAt, nextAfter: nextAfter };
})();
