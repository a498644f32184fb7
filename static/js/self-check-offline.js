/* The self-check without a line: goes down the tree as far as the address leads, and shows what is there. */
(function () {
  "use strict";
  const kept = JSON.parse(document.getElementById("tree").textContent);
  const given = new URLSearchParams(location.search);
  const language = given.get("lang");
  const one = (selector, within) => (within || document).querySelector(selector);

  const now = walk((question) => given.get(question) || "");
  tags();
  links();
  if (now.question) ask(now.question, now.codes);
  else answer();

  /* Down the tree: what was told, then the question that is open or the outcome. */
  function walk(said) {
    const told = new Map(), raw = new Map();
    let node = kept.root;
    while (Array.isArray(node)) {
      const [question, answers] = node;
      const value = said(question), code = named(question, value, told);
      if (!Object.keys(answers).includes(code)) return { told, raw, question, codes: Object.keys(answers) };
      told.set(question, code);
      raw.set(question, value);
      node = answers[code];
    }
    return { told, raw, outcome: kept.outcomes[node] };
  }

  /* A figure off a ruler counts as the next longer thing, an exact point as the place that it lies in. */
  function named(question, value, told) {
    if (question === "length" && /^[1-9]\d{0,3}$/.test(value)) {
      const longer = Object.entries(kept.lengths_mm).find(([, longest]) => Number(value) <= longest);
      return longer ? longer[0] : "longer";
    }
    const point = question === "at" && /^(-?\d+(?:\.\d+)?),(-?\d+(?:\.\d+)?)$/.exec(value);
    return point ? placeAt(drawing(told), Number(point[1]), Number(point[2])) : value;
  }

  function drawing(told) {
    const size = told.get("size") === "unsure" ? kept.worst : told.get("size");
    return one(`[data-gear="${told.get("kind")}-${size}"]`);
  }

  /* Shown for a moment: what is not laid out holds no points. */
  function placeAt(drawn, x, y) {
    const step = one("[data-step=at]");
    step.hidden = drawn.hidden = false;
    const parts = Array.from(one(x < 0 ? ".is-left" : ".is-right", drawn).querySelectorAll(".part"));
    const part = parts.reverse().find((each) => holds(each, x, y));
    step.hidden = drawn.hidden = true;
    return part ? part.closest("[data-place]").dataset.place : "";
  }

  function holds(part, x, y) {
    const point = part.ownerSVGElement.createSVGPoint();
    Object.assign(point, { x, y });
    return part.isPointInFill(point);
  }

  function address(told, path) {
    const to = new URLSearchParams(Array.from(told));
    given.getAll("also").forEach((code) => to.append("also", code));
    if (language) to.set("lang", language);
    return (path || kept.check) + "?" + to;
  }

  function besides(question, code) {
    const told = new Map(now.raw);
    if (code) told.set(question, code);
    else told.delete(question);
    return told;
  }

  function ask(question, codes) {
    const step = one(`[data-step="${question}"]`);
    const rows = one(`[data-of="${question === "size" ? now.told.get("kind") : ""}"]`, step);
    step.hidden = rows.hidden = false;
    document.title = one("h1", step).textContent;
    rows.querySelectorAll("li").forEach((row) => { row.hidden = true; });
    codes.forEach((code) => {
      const link = one(`[data-answer="${code}"]`, rows);
      link.href = address(besides(question, code));
      link.parentNode.hidden = false;
      link.closest("ul").append(link.parentNode);
    });
    if (question === "at") spots(codes);
  }

  function spots(codes) {
    const drawn = drawing(now.told);
    drawn.hidden = false;
    drawn.querySelectorAll("[data-place]").forEach((spot) => {
      const place = spot.dataset.place;
      if (codes.includes(place)) spot.setAttribute("href", address(besides("at", place)));
      else spot.removeAttribute("href");
    });
  }

  function words(question, told) {
    const of = question === "size" ? `size-${told.get("kind")}` : question;
    return kept.tags[of][told.get(question)];
  }

  function tags() {
    const told = one("[data-told]");
    now.told.forEach((code, question) => {
      const tag = one("template", told).content.cloneNode(true);
      const link = one("a", tag);
      link.href = address(besides(question, ""));
      link.prepend(words(question, now.told));
      one("ul", told).append(tag);
    });
    told.hidden = !now.told.size;
  }

  function links() {
    document.querySelectorAll("[hreflang]").forEach((link) => {
      const to = new URLSearchParams(location.search);
      to.set("lang", link.hreflang);
      link.href = location.pathname + "?" + to;
    });
    one("[data-not-sent]").hidden = location.pathname !== kept.enquiry;
    if (language) one("[data-anew]").search = "lang=" + language;
  }

  /* The strictest verdict decides for all that was told, as it does with a line. */
  function answer() {
    const before = given.getAll("also").map(earlier).filter((each) => each.outcome);
    const strictness = (each) => kept.verdicts.indexOf(kept.rules[each.outcome[0]]);
    const all = [now, ...before].sort((a, b) => strictness(b) - strictness(a));
    const verdict = one(`.verdict[data-verdict="${kept.rules[all[0].outcome[0]]}"]`);
    one(".verdict-what", verdict).textContent = what(all[0]);
    document.title = one("h1", verdict).textContent;
    document.body.className = "is-answer";
    verdict.hidden = one("[data-acts]").hidden = false;
    one("[data-several]").hidden = all.length < 2;
    all.forEach((each, place) => one("[data-pieces]").append(sheet(each, place > 0)));
    one("[data-acts]").prepend(one("[data-told]"));
    ways();
  }

  function earlier(code) {
    const said = code.split("_");
    return walk((question) => said[kept.names.indexOf(question)] || "");
  }

  function what(each) { return words("look", each.told) + " · " + words("at", each.told); }

  function sheet(each, isOther) {
    const [rule, runsAt, runsAtMm, unknown] = each.outcome;
    const page = one(`[data-rule="${rule}"]`, one("[data-sheets]").content).cloneNode(true);
    const slots = { length: kept.lengths[each.told.get("length")] || "", runs_at: runsAt };
    if (runsAtMm) one(".reason", page).after(ruler(kept.lengths_mm[each.told.get("length")], runsAtMm));
    page.querySelectorAll("[data-slot]").forEach((slot) => { slot.textContent = slots[slot.dataset.slot]; });
    const worse = one("[data-unknown]", page);
    unknown.forEach((sentence) => {
      const line = document.createElement("li");
      line.textContent = kept.unknown[sentence];
      one("ul", worse).append(line);
    });
    worse.hidden = !unknown.length;
    (one(".ruled-sheet", page) || one(".reason", page)).after(worse);
    one("[data-what]", page).textContent = what(each);
    one("[data-what]", page).hidden = !isOther;
    return page;
  }

  function ruler(lengthMm, runsAtMm) {
    const figure = one("figure", one("[data-ruler]").content).cloneNode(true);
    window.selfCheckRuler(figure, lengthMm, runsAtMm);
    return figure;
  }

  function ways() {
    const code = kept.names.map((name) => now.raw.get(name) || "").join("_");
    const again = new URLSearchParams([["kind", now.raw.get("kind")], ["size", now.raw.get("size")]]);
    given.getAll("also").concat(code).forEach((each) => again.append("also", each));
    if (language) again.set("lang", language);
    one("[data-another]").href = kept.check + "?" + again;
    one("[data-another]").hidden = given.getAll("also").length >= kept.most_also;
    one("[data-send]").href = address(now.raw, kept.enquiry);
  }
})();
