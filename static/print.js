// A sheet made for paper has a button that opens the browser's own way to the printer; without script it has words instead.
"use strict";

(() => {
  const button = document.getElementById("print");
  button.hidden = false;
  document.getElementById("print-words").remove();
  button.addEventListener("click", () => window.print());
})();
