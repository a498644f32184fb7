/* Keeps the total in step with what is ticked. The shop's own reckoning counts; this only spares a tap.
   All in hundredths: sums of whole numbers below 2^53 are exact. */
(function () {
  "use strict";
  const form = document.querySelector("[data-offer]");
  if (!form) return;

  const figure = (name) => Number(form.dataset[name]);
  const step = figure("step");

  function share(amount, hundredthsOfPercent) {
    const parts = 10000 * step;
    const whole = Math.floor((2 * amount * hundredthsOfPercent + parts) / (2 * parts)) * step;
    return Math.min(whole, amount);
  }

  function said(cents) {
    const decimals = cents % 100 ? 2 : figure("decimals");
    const shape = { minimumFractionDigits: decimals, maximumFractionDigits: decimals };
    const digits = new Intl.NumberFormat("en", shape).format(Math.abs(cents) / 100);
    return (cents < 0 ? "\u2212" : "") + form.dataset.before + digits + form.dataset.after;
  }

  function taken() {
    return [...form.querySelectorAll("[data-cents]")].filter((line) => !("checked" in line) || line.checked);
  }

  function reckoned() {
    const lines = taken();
    const subtotal = lines.reduce((sum, line) => sum + Number(line.dataset.cents), 0);
    const minimum = lines.length ? Math.max(figure("minimum") - subtotal, 0) : 0;
    const discount = share(subtotal + minimum, figure("discount"));
    const net = subtotal + minimum - discount;
    const tax = share(net, figure("tax"));
    const total = net + tax;
    const deposit = total >= figure("depositFrom") ? share(total, figure("deposit")) : 0;
    const together = total + figure("agreed");
    return { subtotal: subtotal, minimum: minimum, discount: -discount, tax: tax, total: total, together: together, deposit: deposit };
  }

  function show() {
    const sums = reckoned();
    for (const [key, cents] of Object.entries(sums)) {
      const row = form.querySelector(`[data-sum="${key}"]`);
      if (!row) continue;
      row.querySelector("dd").textContent = said(cents);
      if (key === "minimum" || key === "deposit") row.hidden = cents === 0;
    }
    for (const total of form.querySelectorAll("[data-total]")) total.textContent = said(sums.total);
    form.querySelector("[data-total-shown]").value = (sums.total / 100).toFixed(2);
  }

  /* Enter in the name's field would press the first button of the form. */
  form.querySelector("[data-work-out]").remove();
  form.addEventListener("change", show);
  /* A browser that came back to the page may have kept the ticks but not the total. */
  window.addEventListener("pageshow", function () {
    const ticks = [...form.querySelectorAll("[data-cents]")].filter((line) => "checked" in line);
    if (ticks.some((line) => line.checked !== line.defaultChecked)) show();
  });
})();
