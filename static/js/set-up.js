/* Setting up: Return alone goes from step to step at a desk; a chosen country is asked for at once, and the
   clock of this device is proposed. */
(function () {
  "use strict";

  function begin() {
    document.querySelectorAll("form[data-sends-itself]").forEach(function (form) {
      const button = form.querySelector("[name=fill]");
      button.hidden = true;
      form.querySelector("[name=country]").addEventListener("change", function () { form.requestSubmit(button); });
    });
    /* Not on a tablet, whose keyboard would cover the page. */
    const first = document.querySelector(".office-form .form input:not([type=hidden]), .set-up-member input");
    if (first && !location.hash && !document.querySelector(".has-error") && !matchMedia("(pointer: coarse)").matches) {
      const chosen = first.type === "radio" && document.querySelector("[name='" + first.name + "']:checked");
      (chosen || first).focus({ preventScroll: true });
      /* No further than out from under the bar that saves: the page keeps that much below what it scrolls to. */
      (chosen || first).scrollIntoView({ block: "nearest" });
    }
    const form = document.querySelector("form[data-clock]");
    if (!form) return;
    const zones = form.querySelector("[name=time_zone]");
    const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
    if (Array.from(zones.options).some(function (each) { return each.value === here; })) zones.value = here;
  }

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin);
  else begin();
}());
