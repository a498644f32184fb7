/* Says what the programs say in the reader's language. English is the key; what another language says for it
   comes with the file, put there by the shop. `say("Waiting: %(name)s.", {name: …})`; `say.count("1 tick waits",
   "%(count)s ticks wait", 3)`. Texts stand in double quotes on one line, or nobody finds them to translate. */
(function () {
  "use strict";
  const known = window.shopWords || {};

  function filled(text, values) {
    return text.replace(/%\((\w+)\)s/g, function (slot, name) { return values && name in values ? values[name] : slot; });
  }
  window.say = function (english, values) {
    return filled(known[english] || english, values);
  };
  /* How days and hours are written: the day before its month in English, too, as on the shop's own pages. */
  const read = document.documentElement.lang;
  window.say.dates = read === "en" ? "en-GB" : read;
  window.say.count = function (one, more, count, values) {
    const forms = known[one] || [one, more];
    return filled(forms[count === 1 ? 0 : 1], Object.assign({ count: count }, values));
  };
})();
