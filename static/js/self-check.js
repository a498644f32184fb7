/* What a script adds to the self-check: the exact point of a tap on the drawing, and a count of answers read. */
(function () {
  "use strict";
})();
