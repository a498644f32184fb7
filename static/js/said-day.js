/* Says the day that was chosen in words, in the page's language: a browser writes dates its own way, and 4/12 is
   a day in December here and one in April elsewhere. */
(function () {
  "use strict";
  function words(value) {
    const day = new Date(value + "T00:00:00Z");
    if (!value || isNaN(day)) return "";
    return new Intl.DateTimeFormat(say.dates, { dateStyle: "full", timeZone: "UTC" }).format(day);
  }

  function begin() {
    document.querySelectorAll(".field > input[type=date]").forEach(function (box) {
      const said = document.createElement("p");
      said.className = "said-day";
      said.setAttribute("aria-live", "polite");
      box.after(said);
      function tell() { said.textContent = words(box.value); }
      box.addEventListener("input", tell);
      /* What is brought back, or thrown away, changes it too. */
      document.addEventListener("change", tell);
      document.addEventListener("reset", function () { setTimeout(tell); });
      tell();
    });
  }

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin);
  else begin();
}());
