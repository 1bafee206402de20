// The open time of the compound counts down on the page, by the program's time and not the tablet's.
// Without it the sheet says until when, and so does any other tablet.
"use strict";

(() => {
  // When each clock came, by this tablet: another may be swapped in at any time.
  const came = new WeakMap();

  const shown = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;

  const count = () => {
    const clock = document.querySelector("[data-ends]");
    if (!clock) return;
    if (!came.has(clock)) came.set(clock, Date.now());
    const passed = Math.max(0, Date.now() - came.get(clock));
    const left = Number(clock.dataset.ends) - Number(clock.dataset.now) - passed;
    const over = left <= 0;
    const place = clock.querySelector("[data-left]");
    const text = shown(Math.max(0, Math.floor(left / 1000)));
    if (place.textContent !== text) place.textContent = text;
    if (clock.querySelector("[data-over]").hidden !== over) return;
    place.hidden = over;
    clock.querySelector("[data-running]").hidden = over;
    clock.querySelector("[data-over]").hidden = !over;
    clock.dataset.answer = over ? "not" : "serves";
  };

  setInterval(count, 250);
  document.addEventListener("visibilitychange", count);
  count();
})();
