// A button that prints, for who has no keys for it. Without script it stays hidden: the browser's own menu prints.
(() => {
  "use strict";
  const button = document.getElementById("print");
  button.hidden = false;
  button.addEventListener("click", () => window.print());
})();
