/* After a form was refused: what is said to whoever does not see the page, and to which field it belongs. */
() => {
  const said = (one) => one.outerHTML.replace(/\s+/g, " ").slice(0, 140);
  const seen = (one) => one.checkVisibility({ visibilityProperty: true }) && one.textContent.trim();
  const described = (field) => (field.getAttribute("aria-describedby") || "").split(" ").map((id) => document.getElementById(id)).filter(Boolean);
  const invalid = Array.from(document.querySelectorAll("main [aria-invalid=true]"));
  const sentences = Array.from(document.querySelectorAll("main .error, main .errorlist")).filter(seen)
    .filter((one) => !one.parentElement.closest(".error, .errorlist") && !one.closest("[aria-hidden=true]"));
  const alerts = Array.from(document.querySelectorAll("main [role=alert]")).filter(seen);
  const found = [];
  if (!invalid.length && !alerts.length) found.push("nothing says that it was refused");
  invalid.filter((field) => !described(field).some(seen)).forEach((field) => found.push(`is wrong, and nothing says why: ${said(field)}`));
  const told = Array.from(document.querySelectorAll("main [aria-describedby]")).flatMap(described);
  sentences.filter((one) => !one.closest("[role=alert]") && !told.some((each) => each.contains(one) || one.contains(each)))
    .forEach((one) => found.push(`belongs to no field: ${said(one)}`));
  return found;
}
