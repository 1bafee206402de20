// The stroke counter. Without it the pad is a plain button that sends the next total.
// A tap counts on the screen at once and is kept on the tablet; the program is sent the total, never "one more",
// so nothing is counted twice and nothing is lost. Which of two totals stands: see webapp/sheets/cutting/change_strokes.py.
"use strict";

(() => {
  const RETRY_MS = 2000;
  const PATIENCE_MS = 8000;

  // ---- What the tablet keeps ----------------------------------------------------------------------

  let keeps = true;
  const read = (key) => {
    try { return JSON.parse(localStorage.getItem(key)); } catch { keeps = false; return null; }
  };
  const write = (key, value) => {
    try { localStorage.setItem(key, JSON.stringify(value)); } catch { keeps = false; }
  };
  const forget = (key) => {
    // Where nothing can be kept there is nothing to forget.
    try { localStorage.removeItem(key); } catch { keeps = false; }
  };
  for (const line of document.querySelectorAll("[data-finished-count]")) forget(line.dataset.finishedCount);

  const pad = document.getElementById("pad");
  if (!pad) return;
  const form = document.getElementById("counter");
  const takeBack = document.getElementById("take-back");
  const finishForm = document.getElementById("finish-form");
  const says = document.getElementById("count-sentences").dataset;
  const trouble = document.getElementById("count-trouble");
  const { key } = form.dataset;
  const [wanted, each, passes, rhythm, most] = ["wanted", "each", "passes", "rhythm", "most"]
    .map((name) => Number(form.dataset[name]));

  // ---- The total ----------------------------------------------------------------------------------

  // done: what the screen shows. stored: the last total the program told. top: the highest total known since.
  const stored = Number(form.dataset.done);
  const now = { done: stored, stored, top: stored };
  const whole = (number) => Number.isInteger(number) && number >= 0 && number <= most;
  const kept = read(key);
  if (kept && whole(kept.done) && whole(kept.top) && kept.done !== kept.stored) {
    // Strokes that were never told, from before the screen slept or the page was closed.
    now.done = kept.top >= stored ? kept.done : Math.max(stored, kept.done);
    now.top = Math.max(stored, kept.top);
  }
  let failing = false;
  let stopped = "";
  let further = false;

  const change = (by) => {
    if (stopped) return;
    now.done = Math.min(most, Math.max(0, now.done + by));
    now.top = Math.max(now.top, now.done);
    further = false;
    write(key, now);
    draw();
    send();
  };

  // ---- The screen ---------------------------------------------------------------------------------

  const slot = (name, text) => {
    for (const place of document.querySelectorAll(`[data-slot="${name}"]`)) place.textContent = text;
  };
  const filled = (sentence, ...numbers) => numbers.reduce((text, one) => text.replace("#", one), sentence);

  const state = () => {
    if (now.done >= wanted) return "done";
    if (now.done === 0) return "start";
    if (now.done % each) return "going";
    return now.done / each === passes - 1 ? "last" : "pass";
  };

  const keptWords = () => {
    if (!keeps && now.done !== now.stored) return says.unkept;
    if (further) return says.further;
    if (now.done === now.stored) return filled(says.stored, now.done);
    const open = Math.abs(now.done - now.stored);
    return failing ? filled(says.waiting, now.done, open) : filled(says.sending, now.done);
  };

  let said = state();
  const draw = () => {
    const left = Math.max(0, wanted - now.done);
    const full = Math.floor(now.done / each);
    const minutes = Math.ceil(left / rhythm);
    slot("done", now.done);
    slot("left", left);
    slot("pass", Math.min(full + 1, passes));
    slot("stroke", left ? now.done % each + 1 : each);
    slot("pass-done", full);
    slot("time", minutes ? filled(says.minutes, minutes) : says.noTime);
    const what = state();
    for (const words of pad.querySelectorAll("[data-say]")) words.hidden = words.dataset.say !== what;
    pad.toggleAttribute("data-stop", ["pass", "last", "done"].includes(what));
    takeBack.querySelector("button").disabled = now.done === 0;
    document.getElementById("kept-words").textContent = keptWords();
    document.title = document.title.replace(/^\d+/, now.done);
    trouble.hidden = !stopped;
    trouble.querySelector("p").textContent = stopped;
    for (const [name, value] of [["done", now.done], ["top", now.top]]) {
      finishForm.querySelector(`[name="${name}"]`).value = value;
    }
    if (what !== said && what !== "going") {
      document.getElementById("said").textContent = pad.querySelector(`[data-say="${what}"]`).textContent;
    }
    said = what;
  };

  // ---- Telling the program --------------------------------------------------------------------------

  let busy = false;
  let waiting = 0;

  const send = async () => {
    if (busy || stopped || waiting || now.done === now.stored) return;
    busy = true;
    const sent = now.done;
    try {
      const answer = await fetch(form.action, {
        method: "POST",
        headers: { accept: "application/json" },
        body: new URLSearchParams({ done: sent, top: now.top }),
        keepalive: true,
        signal: AbortSignal.timeout(PATIENCE_MS),
      });
      await hear(answer, sent);
    } catch {
      retryLater(); // not reached: the words under the pad say so
    }
    busy = false;
    write(key, now);
    draw();
    send();
  };

  const hear = async (answer, sent) => {
    if (answer.status >= 500) return retryLater();
    const told = await answer.json().catch(() => ({}));
    if (!answer.ok || !whole(told.done)) {
      stopped = told.words || says.stopped;
      return;
    }
    failing = false;
    now.stored = told.done;
    if (told.done > now.top) {
      further = true;
      // What was tapped while the answer was on its way is on nobody else's count.
      now.done = Math.min(most, told.done + Math.max(0, now.done - sent));
    }
    now.top = Math.max(told.done, now.done);
  };

  const retryLater = () => {
    failing = true;
    waiting = setTimeout(atOnce, RETRY_MS);
  };
  const atOnce = () => {
    clearTimeout(waiting);
    waiting = 0;
    send();
  };
  addEventListener("online", atOnce);

  // ---- Thumbs -----------------------------------------------------------------------------------------

  // Counted as the thumb comes down: a thumb that slides a little before it lifts gives no click.
  let counted = false;
  pad.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary || event.button !== 0) return;
    counted = true;
    change(1);
  });
  pad.addEventListener("click", (event) => {
    event.preventDefault();
    // A keyboard and a screen reader click without a pointer.
    if (event.detail === 0 || !counted) change(1);
    counted = false;
  });
  pad.addEventListener("contextmenu", (event) => event.preventDefault());
  takeBack.addEventListener("submit", (event) => {
    event.preventDefault();
    change(-1);
  });
  finishForm.addEventListener("submit", (event) => {
    if (!failing || now.done === now.stored) return;
    event.preventDefault();
    trouble.querySelector("p").textContent = says.unreached;
    trouble.hidden = false;
    trouble.scrollIntoView({ block: "center" });
  });

  // ---- Sleep --------------------------------------------------------------------------------------------

  const awake = (yes) => {
    document.getElementById("awake-words").textContent = yes ? says.awake : says.asleep;
  };
  const stayAwake = async () => {
    if (!navigator.wakeLock) return; // the page says already that the screen may sleep
    try {
      const lock = await navigator.wakeLock.request("screen");
      awake(true);
      lock.addEventListener("release", () => awake(false));
    } catch {
      awake(false);
    }
  };
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") stayAwake();
    atOnce();
  });

  stayAwake();
  write(key, now);
  draw();
  send();
})();
