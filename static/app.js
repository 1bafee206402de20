// Spokeshed's only script of its own. Every page works as plain forms without it.
// It is loaded before the first paint, so everything listens on the document.
"use strict";

(() => {
  const root = document.documentElement;

  // ---- The light or the dark sheet --------------------------------------------------------------

  const readSheet = () => {
    // A browser that keeps nothing (private window, blocked storage) still follows the tablet's setting.
    try { return localStorage.getItem("sheet"); } catch { return null; }
  };
  const keepSheet = (name) => {
    try { localStorage.setItem("sheet", name); } catch { /* it then lasts for this page only */ }
  };
  const systemDark = matchMedia("(prefers-color-scheme: dark)");
  const sheetNow = () => root.dataset.sheet || (systemDark.matches ? "dark" : "light");

  const kept = readSheet();
  if (kept === "light" || kept === "dark") root.dataset.sheet = kept;

  const showToggle = () => {
    for (const one of document.querySelectorAll("[data-print]")) one.hidden = false;
    const button = document.getElementById("sheet-toggle");
    if (!button) return;
    button.hidden = false;
    button.textContent = sheetNow() === "dark" ? "Light sheet" : "Dark sheet";
  };
  document.addEventListener("DOMContentLoaded", showToggle);
  document.addEventListener("spokeshed:page", showToggle);
  systemDark.addEventListener("change", showToggle);
  document.addEventListener("click", (event) => {
    if (event.target.closest?.("[data-print]")) print();
    if (!event.target.closest?.("#sheet-toggle")) return;
    const name = sheetNow() === "dark" ? "light" : "dark";
    root.dataset.sheet = name;
    keepSheet(name);
    showToggle();
  });

  // ---- One tap, one answer ----------------------------------------------------------------------

  const rest = (form) => {
    form.removeAttribute("aria-busy");
    for (const button of form.querySelectorAll("[data-resting]")) {
      button.disabled = false;
      delete button.dataset.resting;
    }
  };

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented) return; // htmx sends this one itself
    if (form.getAttribute("aria-busy") === "true") {
      event.preventDefault();
      return;
    }
    form.setAttribute("aria-busy", "true");
    // After the browser has gathered the fields: a disabled button would leave its own name out.
    setTimeout(() => {
      const button = event.submitter;
      if (!button) return;
      button.disabled = true;
      button.dataset.resting = "";
    });
    // A saved file, or a server that never answers, leaves this page standing.
    setTimeout(() => rest(form), 15000);
  });
  addEventListener("pageshow", () => {
    for (const form of document.querySelectorAll("form[aria-busy]")) rest(form);
  });

  // With htmx: a second tap while the first is on its way is dropped. A checklist is another matter: ticks tapped
  // quickly one after another all count, and wait for their turn. Only the same square tapped twice in a moment is
  // one tap, so that a nervous thumb does not take its own tick off again.
  const sender = (event) => event.detail?.ctx?.sourceElement ?? event.target;
  document.addEventListener("htmx:config:request", (event) => {
    const form = sender(event);
    if (form.hasAttribute?.("data-queue")) return;
    if (form.getAttribute?.("aria-busy") === "true") event.preventDefault();
  });
  const MOMENT_MS = 700;
  const NEAR_PX = 30;
  const DOUBLE_MS = 400;
  // The same holds for whatever an answer has meanwhile put under the thumb: the second of two taps in a moment on one
  // place is no tap on something else. What is tapped again and again, a crank to turn or a stroke to count, is the same
  // thing each time. Two taps into a box to type in are nobody's harm.
  let lastTap = { id: "", at: -MOMENT_MS, x: 0, y: 0, of: null, words: "" };
  // Whoever typed meanwhile has not tapped twice.
  document.addEventListener("input", () => { lastTap.at = -MOMENT_MS; });
  document.addEventListener("click", (event) => {
    if (!event.isTrusted || !event.detail || event.target.closest?.("input, select, textarea, label")) return;
    const { timeStamp: at, clientX: x, clientY: y } = event;
    const of = event.target.closest?.("a, button, summary");
    const id = event.target.closest?.("form[data-queue] button[id], button[form][id]")?.id ?? "";
    const again = id !== "" && id === lastTap.id && at - lastTap.at < MOMENT_MS;
    const same = of !== null && (of === lastTap.of || of?.textContent === lastTap.words);
    const near = !same && at - lastTap.at < DOUBLE_MS && Math.hypot(x - lastTap.x, y - lastTap.y) < NEAR_PX;
    if (again || near) {
      event.preventDefault();
      event.stopImmediatePropagation();
      return;
    }
    lastTap = { id, at, x, y, of, words: of?.textContent ?? "" };
  }, true);

  // ---- The reading that is due ------------------------------------------------------------------

  // Enter goes to the next box, as a gauge does that types a value and Enter; the last one only leaves the box. So nothing
  // is written before somebody taps Write, and never half of it.
  document.addEventListener("keydown", (event) => {
    const box = event.target;
    if (event.key !== "Enter" || !box.matches?.(".due-form [data-next]")) return;
    event.preventDefault();
    const boxes = [...box.form.querySelectorAll("[data-next]")];
    const next = boxes[boxes.indexOf(box) + 1];
    if (next) {
      next.focus();
      next.select();
    } else {
      box.blur();
    }
  });

  // What a reading would come to is told no more once it is on its way to be written, however late the answer is.
  let trying = null;
  document.addEventListener("htmx:before:request", (event) => {
    const from = sender(event);
    if (from.matches?.(".due-form")) trying = null;
    if (from.id !== "due-band") return;
    if (from.closest(".due-form[aria-busy]")) event.preventDefault();
    else trying = event.detail.ctx;
  });
  document.addEventListener("htmx:before:swap", (event) => {
    if (sender(event).id === "due-band" && event.detail.ctx !== trying) event.preventDefault();
  });

  // Rows that stand open keep the box of the reading that is due below the screen: then a line at its foot leads there.
  const dueSeen = new IntersectionObserver((seen) => {
    const inSight = seen.at(-1).isIntersecting;
    const head = document.querySelector("#due h2");
    let jump = document.getElementById("due-jump");
    if (inSight || !head) {
      jump?.remove();
      return;
    }
    if (!jump) {
      jump = Object.assign(document.createElement("a"), { id: "due-jump", className: "due-jump", href: "#due" });
      document.body.append(jump);
    }
    jump.textContent = head.textContent.trim().replace(/\s+/g, " ");
  });
  const watchDue = () => {
    dueSeen.disconnect();
    const due = document.getElementById("due");
    if (due) dueSeen.observe(due);
  };
  for (const event of ["DOMContentLoaded", "spokeshed:page", "htmx:after:settle"]) document.addEventListener(event, watchDue);

  // With the keyboard out little is left of the screen: the whole box of the reading is brought into what is. Not for what
  // is tapped and then focused: that must not move away under the thumb.
  const showDue = () => {
    const due = document.activeElement?.matches("[data-next]") ? document.activeElement.closest("#due") : null;
    if (!due) return;
    const box = due.querySelector("form").getBoundingClientRect();
    const high = (window.visualViewport?.height ?? innerHeight) - (document.getElementById("keys")?.offsetHeight ?? 0);
    if (box.top < 0 || box.bottom > high) scrollBy(0, box.height > high ? box.top : box.bottom - high + 8);
  };
  document.addEventListener("focusin", showDue);
  // The first key makes room for the band.
  document.addEventListener("input", showDue);
  window.visualViewport?.addEventListener("resize", showDue);

  // What is typed into it survives what a tick elsewhere exchanges, as long as the same reading is due.
  let typedDue = null;
  document.addEventListener("htmx:before:swap", () => {
    const form = document.querySelector(".due-form");
    const boxes = form ? [...form.querySelectorAll("[data-next], select")] : [];
    typedDue = form && form.getAttribute("aria-busy") !== "true" && boxes.some((box) => box.matches("input") && box.value)
      ? { id: form.id, values: boxes.map((box) => [box.id, box.value]) } : null;
  });
  const keepTyped = () => {
    if (!typedDue || document.querySelector(".due-form")?.id !== typedDue.id) return;
    for (const [id, value] of typedDue.values) {
      const box = document.getElementById(id);
      if (box && box.value !== value) box.value = value;
    }
  };

  document.addEventListener("htmx:before:request", (event) => {
    sender(event).setAttribute?.("aria-busy", "true");
    clearTrouble();
  });
  document.addEventListener("htmx:finally:request", (event) => {
    sender(event).removeAttribute?.("aria-busy");
  });

  // ---- What is folded -----------------------------------------------------------------------------

  // One tap opens a slip, another closes it; it is open alone, unless something is typed in another.
  const typedIn = (slip) => [...slip.querySelectorAll("input:not([type=hidden]), textarea")].some((box) =>
    ["checkbox", "radio"].includes(box.type) ? box.checked !== box.defaultChecked : box.value !== box.defaultValue);
  const close = (slip) => {
    slip.replaceChildren();
    for (const row of document.querySelectorAll(`[data-slip="${CSS.escape(slip.id)}"]`)) row.setAttribute("aria-expanded", "false");
  };
  // Once a reading is written, what was unfolded before tells of a size that is no more: the line above has the answer.
  document.addEventListener("htmx:before:swap", (event) => {
    if (!sender(event).matches?.(".due-form") || event.detail.ctx.response?.status !== 200) return;
    for (const slip of document.querySelectorAll(".slip:not(:empty)")) if (!typedIn(slip)) close(slip);
  });
  document.addEventListener("click", (event) => {
    const row = event.target.closest?.("[data-slip]");
    if (!row) return;
    const slip = document.getElementById(row.dataset.slip);
    const shown = row.getAttribute("aria-expanded") === "true" && slip.children.length;
    for (const other of document.querySelectorAll(".slip:not(:empty)")) {
      if (other !== slip && !other.contains(row) && !typedIn(other)) close(other);
    }
    if (shown) {
      event.preventDefault();
      event.stopImmediatePropagation();
      close(slip);
      return;
    }
    for (const one of document.querySelectorAll(`[data-slip="${CSS.escape(slip.id)}"]`)) {
      one.setAttribute("aria-expanded", one === row ? "true" : "false");
    }
  }, true);

  // ---- When the program does not answer ---------------------------------------------------------

  const clearTrouble = () => document.getElementById("trouble")?.replaceChildren();

  const sayTrouble = (sentence) => {
    const place = document.getElementById("trouble");
    if (!place) return;
    const box = document.createElement("div");
    box.className = "refusal";
    const words = document.createElement("p");
    words.textContent = sentence;
    const close = document.createElement("button");
    close.type = "button";
    close.className = "button quiet";
    close.textContent = "I have read this";
    close.addEventListener("click", clearTrouble);
    box.append(words, close);
    place.replaceChildren(box);
  };

  document.addEventListener("htmx:error", (event) => {
    const ctx = event.detail?.ctx;
    if (!ctx?.request) return; // not about a request
    // What was sent is kept on the device and said to be, in static/kept.js.
    if (ctx.request.method === "POST" && !ctx.response) return;
    if (ctx.response) {
      sayTrouble("The answer came but could not be shown. Load the page again to see what was stored.");
    } else if (!ctx.request.action.includes("/try")) {
      // Only something to look at: what was typed stands where it was, and what was sent is told of above.
      sayTrouble("The program did not answer: is it still running, and the tablet still on the network? Tap once more when it is.");
    }
  });

  // ---- After a piece of the page is exchanged ---------------------------------------------------

  const findIn = (pieces, selector) => {
    for (const piece of pieces) {
      const found = piece.matches(selector) ? piece : piece.querySelector(selector);
      if (found) return found;
    }
    return null;
  };

  // htmx puts the focus back by id. Where that fails, a keyboard or a screen reader must not be thrown
  // to the top of the page: go to the field that was refused, or to the piece that was exchanged.
  const mendFocus = (pieces) => {
    const inside = (selector) => findIn(pieces, selector);
    const refused = inside('[aria-invalid="true"]');
    if (refused) {
      refused.focus();
      refused.select?.();
      return;
    }
    if (document.activeElement && document.activeElement !== document.body) return;
    if (inside("[autofocus]")) return; // htmx goes there
    const landing = pieces.find((piece) => piece.isConnected);
    if (!landing) return;
    if (!landing.hasAttribute("tabindex")) landing.setAttribute("tabindex", "-1");
    landing.focus({ preventScroll: true });
  };

  // A whole page that was refused: into the first refused field if the reason at the form's head stays in sight,
  // else to that head, from where each field is one tap away.
  const showRefused = () => {
    const head = document.querySelector(".refusal[tabindex]");
    if (!head || document.querySelector("[autofocus]")) return;
    const field = document.querySelector('[aria-invalid="true"]');
    const near = field && field.getBoundingClientRect().bottom - head.getBoundingClientRect().top < innerHeight;
    (near ? field : head).focus({ preventScroll: true });
    const last = (near ? field.closest(".field") ?? field : head).getBoundingClientRect();
    // Both in sight: a form at the foot of a sheet would else show its head alone, at the lower edge.
    const seen = head.getBoundingClientRect().top >= 0 && last.bottom <= innerHeight;
    if (!seen) head.scrollIntoView({ block: "start" });
  };
  document.addEventListener("DOMContentLoaded", showRefused);
  document.addEventListener("spokeshed:page", showRefused);

  // The head of a refused form links to each refused field: go there and into it, and open what it is folded in.
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.('.refusal a[href^="#"]');
    const field = link && document.getElementById(link.hash.slice(1));
    if (!field) return;
    event.preventDefault();
    for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
    field.focus({ preventScroll: true });
    field.scrollIntoView({ block: "center" });
  });

  // The answer in words, for a screen reader: data-say wins over what is drawn.
  const sayAnswer = (pieces) => {
    const said = document.getElementById("said");
    if (!said) return;
    for (const piece of pieces) {
      const selector = "[data-say], .refusal, .field .error, .verdict-word";
      const found = piece.matches(selector) ? piece : piece.querySelector(selector);
      if (!found) continue;
      // The head of a refused form names the fields; why stands at them.
      const why = found.matches(".refusal") ? [...piece.querySelectorAll(".field .error")].map((one) => one.textContent) : [];
      said.textContent = [found.dataset.say || found.textContent, ...why].join(" ").trim().replace(/\s+/g, " ");
      return;
    }
  };

  // A tick: whose, which, and whether it stands now. What was refused or asked says so itself.
  const sayTick = () => {
    const said = document.getElementById("said");
    const tick = document.activeElement?.closest?.("button.tick[aria-pressed]");
    if (!said || !tick) return;
    const words = (tick.querySelector(".unseen") ?? tick).textContent.trim().replace(/\s+/g, " ");
    said.textContent = document.querySelector('#list [role="alert"]') ? "" : `${words}: ${tick.ariaPressed === "true" ? "ticked" : "not ticked"}`;
  };

  // The answer must be seen: what was refused, asked or answered is brought into sight if it is not.
  const showAnswer = (pieces, form) => {
    const inside = (selector) => findIn(pieces, selector);
    // A refused field says itself what is wrong.
    const refused = inside('[aria-invalid="true"]')?.closest(".field") ?? inside('[role="alert"]');
    const wanted = form?.dataset?.show;
    const target = refused ?? (wanted ? document.querySelector(wanted) : null);
    if (!target) return;
    const box = target.getBoundingClientRect();
    const seen = box.top >= 0 && box.bottom <= innerHeight;
    if (!seen) target.scrollIntoView({ block: refused && box.height < innerHeight ? "center" : "start" });
  };

  // Initials given in the chip hold for the forms on the page too, unless others were typed into one of them.
  const sayWho = () => {
    if (document.querySelector(".who-form .error")) return; // not taken
    const who = document.getElementById("who-initials")?.value ?? "";
    document.getElementById("who-chip").open = false;
    for (const box of document.querySelectorAll('input[name="who"]')) {
      if ([box.defaultValue, box.dataset.copied].includes(box.value)) box.value = box.defaultValue = who;
    }
  };

  // Typed there and never remembered, they are not forgotten when a form of the page is sent.
  document.addEventListener("change", (event) => {
    if (event.target.id !== "who-initials" || !/^[\p{L}\p{N}]{1,4}$/u.test(event.target.value)) return;
    for (const box of document.querySelectorAll('input[name="who"]')) {
      if (box.value === box.defaultValue) box.value = box.dataset.copied = event.target.value;
    }
  });

  document.addEventListener("htmx:after:settle", (event) => {
    const { task, newContent } = event.detail ?? {};
    const pieces = (newContent ?? []).filter((node) => node.nodeType === Node.ELEMENT_NODE);
    keepTyped();
    // The band of what is being typed makes the box longer.
    if (pieces.some((piece) => piece.closest(".due-band"))) showDue();
    // What others did comes in quietly.
    if (!pieces.length || task?.sourceElement?.id === "unsaved") return;
    sayAnswer(pieces);
    if (task?.sourceElement?.matches?.("form[data-queue]")) sayTick();
    if (task?.type !== "main") return;
    if (task.sourceElement?.matches?.(".who-form")) sayWho();
    // What stands in the boxes after an answer is what the answer put there: nothing, or what was refused.
    if (task.sourceElement?.matches?.("form.log")) task.sourceElement.reset();
    mendFocus(pieces);
    showAnswer(pieces, task.sourceElement);
  });
})();
