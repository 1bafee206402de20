// A tablet's number pad has no stroke for a fraction, no blank and no unit, and some have no point. While a length is typed
// a row of such keys stands above it. Without script the fields have the whole keyboard.
"use strict";

(() => {
  if (!matchMedia("(any-pointer: coarse)").matches) return;

  const UNITS = ["in", "mm", "thou"];
  const KEYS = [[".", "."], ["/", "/"], ["space", " "], ...UNITS.map((unit) => [unit, unit])];
  const LENGTHS = "input[data-length]";
  let row = null;
  let box = null;

  const pads = () => {
    for (const one of document.querySelectorAll(LENGTHS)) if (one.inputMode !== "decimal") one.inputMode = "decimal";
  };

  const put = (key) => {
    if (UNITS.includes(key)) {
      const figure = box.value.replace(/\s*(?:in|mm|thou|")\s*$/i, "").trimEnd();
      box.value = figure ? `${figure} ${key}` : "";
    } else {
      box.setRangeText(key, box.selectionStart, box.selectionEnd, "end");
    }
    box.dispatchEvent(new Event("input", { bubbles: true }));
  };

  const made = () => {
    const bar = Object.assign(document.createElement("div"), { id: "keys", className: "keys" });
    bar.setAttribute("role", "group");
    bar.setAttribute("aria-label", "Keys for a length");
    for (const [words, key] of KEYS) {
      const button = Object.assign(document.createElement("button"), { type: "button", className: "button", textContent: words, tabIndex: -1 });
      if (key === ".") button.setAttribute("aria-label", "point");
      button.addEventListener("click", () => put(key));
      bar.append(button);
    }
    // The box keeps the focus, and the keyboard stays out.
    bar.addEventListener("pointerdown", (event) => event.preventDefault());
    bar.addEventListener("mousedown", (event) => event.preventDefault());
    document.body.append(bar);
    document.documentElement.classList.add("had-keys");
    return bar;
  };

  // Where the keyboard lies over the page instead of making it shorter, the row stands on the keyboard.
  const stand = () => {
    const seen = window.visualViewport;
    if (row && seen) row.style.bottom = `${Math.max(0, innerHeight - seen.height - seen.offsetTop)}px`;
  };

  // What is said of the box, or of all the boxes beside it, and what its form is sent by are not left under the row, where
  // there is the height for both. The row goes as a button is tapped and nothing moves for it.
  const clear = () => {
    if (!row || row.hidden || !box?.isConnected) return;
    const top = row.getBoundingClientRect().top;
    const room = box.getBoundingClientRect().top - box.offsetHeight;
    const group = box.closest("fieldset");
    const hints = [...(group?.querySelectorAll(".hint") ?? [])].filter((one) => one.closest("fieldset") === group);
    const sends = [...(box.form?.elements ?? [])].filter((one) => one.type === "submit");
    const wanted = [box.closest(".field"), box.closest(".due"), ...hints, ...sends].filter(Boolean);
    const under = wanted.map((one) => one.getBoundingClientRect().bottom - top);
    const most = Math.max(...under.filter((one) => one <= room));
    if (most > 0) scrollBy(0, most + 8);
  };

  document.addEventListener("focusin", (event) => {
    box = event.target.matches?.(LENGTHS) ? event.target : null;
    if (box) {
      if (!row?.isConnected) row = made();
      stand();
    }
    if (row) row.hidden = !box;
    document.documentElement.classList.toggle("with-keys", box !== null);
    if (box) requestAnimationFrame(clear);
  }, true);
  document.addEventListener("focusout", (event) => {
    if (!row || event.relatedTarget) return;
    row.hidden = true;
    document.documentElement.classList.remove("with-keys");
  }, true);
  for (const event of ["resize", "scroll"]) window.visualViewport?.addEventListener(event, stand);
  window.visualViewport?.addEventListener("resize", clear);
  // The first key makes room for what its reading would come to, which pushes the button down.
  document.addEventListener("input", clear);
  for (const event of ["DOMContentLoaded", "spokeshed:page", "htmx:after:settle"]) document.addEventListener(event, pads);
})();
