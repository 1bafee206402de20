// Whatever is sent is kept on this device until the program has answered: nothing typed at the bench is lost to bad Wi-Fi,
// a stopped program or a closed browser. And sheets that stand open catch up with what others have done.
"use strict";

(() => {
  const KEY = "spokeshed-kept";
  // An answer that takes longer is said to be missing; after the second time the form waits and is sent again by and by.
  const SLOW_MS = 1500;
  const GIVE_UP_MS = 8000;
  const AGAIN_MS = 3000;
  const STAND = "Spokeshed-Stand";

  // ---- What is kept -----------------------------------------------------------------------------

  // A private window may keep nothing: then it lasts as long as the page, and that is said.
  let inPage = null;
  const kept = () => {
    if (inPage) return inPage;
    try { return JSON.parse(localStorage.getItem(KEY) || "[]"); } catch { return []; }
  };
  const keep = (all) => {
    try {
      localStorage.setItem(KEY, JSON.stringify(all));
    } catch {
      inPage = all;
    }
  };
  const change = (id, told) => keep(kept().map((one) => (one.id === id ? { ...one, ...told } : one)));
  const drop = (id) => keep(kept().filter((one) => one.id !== id));

  const here = () => location.pathname + location.search;
  // What one refusal holds back: the later things of its axle, else of its sheet.
  const groupOf = (form) => form.closest("[data-group]")?.dataset.group ?? location.pathname;
  const isTyped = (box) => box.matches("input:not([type=hidden]):not([type=checkbox]):not([type=radio]), textarea");

  const wordsOf = (form, submitter) => {
    const plain = (element) => (element?.textContent ?? "").trim().replace(/\s+/g, " ");
    if (form.matches("[data-queue]")) return plain(submitter?.querySelector(".unseen") ?? submitter);
    const head = plain(form.querySelector(".due-head h2")).replace(/^Due: /, "") || plain(document.querySelector("h1"));
    const typed = [...form.elements].filter((box) => isTyped(box) && box.name !== "who" && box.value.trim())
      .map((box) => box.value.trim());
    return [head, ...typed.slice(0, 3)].join(" ").slice(0, 90);
  };

  const within = (ms) => {
    const stop = new AbortController();
    setTimeout(() => stop.abort("timeout"), ms);
    return stop.signal;
  };

  const random = () => [...crypto.getRandomValues(new Uint8Array(16))].map((one) => one.toString(16).padStart(2, "0")).join("");

  const put = (form, submitter, action, body) => {
    // By its token the program knows a form again that it has taken, though its answer was lost.
    if (!body.get("token")) body.set("token", random());
    const entry = {
      id: random(),
      at: new Date().toISOString(),
      action,
      body: body.toString(),
      home: here(),
      group: groupOf(form),
      place: submitter?.id || form.id,
      words: wordsOf(form, submitter),
      state: "sent",
    };
    // What is sent anew takes the place of what was refused.
    const before = kept().filter((one) => !(one.state === "refused" && one.action === action && one.place === entry.place));
    keep([...before, entry]);
    setTimeout(show, SLOW_MS);
    return entry;
  };

  // Whether something older must be safe before this one.
  const waits = (entry) => {
    for (const one of kept()) {
      if (one.id === entry.id) return false;
      if (one.state !== "refused" || one.group === entry.group) return true;
    }
    return false;
  };
  // What an answer means: whatever the program has said yes or no to needs no keeping. A program that could not, or does
  // not know this device any more, has said neither.
  const isAnswer = (response) => response.status < 500 && response.status !== 401;

  class Waits extends Error {}

  const deliver = async (entry, send) => {
    try {
      if (waits(entry)) throw new Waits("something older is not saved yet");
      const response = await send();
      if (isAnswer(response)) drop(entry.id);
      else change(entry.id, { state: "kept", why: sentenceIn(await response.clone().text()) });
      return response;
    } catch (error) {
      change(entry.id, { state: "kept" });
      throw error;
    } finally {
      show();
    }
  };

  // ---- Forms that htmx sends --------------------------------------------------------------------

  // What must be done now or not at all, such as putting a copy back, is never kept for later.
  const leftAlone = (action, form) => /^\/(who|device)(\/|$)/.test(action) || form.matches("[data-now]");

  document.addEventListener("htmx:config:request", (event) => {
    const { ctx } = event.detail;
    const form = ctx.request.form ?? ctx.sourceElement;
    if (event.defaultPrevented || ctx.request.method !== "POST" || leftAlone(ctx.request.action, form)) return;
    const body = new URLSearchParams(ctx.request.body);
    const entry = put(form, ctx.request.submitter, ctx.request.action, body);
    ctx.request.body = body;
    ctx.request.timeout = GIVE_UP_MS;
    ctx.fetch = async (action, request) => {
      const { stand } = document.body.dataset;
      request.headers[STAND] = stand ?? "";
      const response = await deliver(entry, () => fetch(action, request));
      // Nobody else wrote meanwhile, so with what the answer brings this sheet is the present one.
      const then = response.headers.get(STAND);
      if (then && document.body.dataset.stand === stand) document.body.dataset.stand = then;
      return response;
    };
  });

  // ---- Forms that lead to another page ----------------------------------------------------------

  const post = (action, body) => fetch(action, {
    method: "POST", body, headers: { "Spokeshed-Told": "go", Accept: "text/html" }, signal: within(GIVE_UP_MS),
  });

  const withoutAnswer = (form) => {
    form.removeAttribute("aria-busy");
    for (const button of form.querySelectorAll("[data-resting]")) {
      button.disabled = false;
      delete button.dataset.resting;
    }
  };

  let anew = false;
  const goTo = (address) => {
    const then = new URL(address, location.href);
    if (then.pathname !== location.pathname || then.search !== location.search) {
      location.assign(then);
      return;
    }
    // The same sheet, drawn anew, at the place that is named.
    if (then.href !== location.href) history.replaceState(history.state, "", then);
    anew = then.hash !== "";
    if (anew) history.scrollRestoration = "manual";
    location.reload();
  };

  const showPage = (html, hash) => {
    const page = new DOMParser().parseFromString(html, "text/html");
    const there = new Set([...document.querySelectorAll("link[rel=stylesheet]")].map((link) => link.href));
    for (const link of page.querySelectorAll("link[rel=stylesheet]")) {
      if (!there.has(new URL(link.getAttribute("href"), location.href).href)) document.head.append(document.adoptNode(link));
    }
    document.title = page.title;
    document.body.replaceWith(document.adoptNode(page.body));
    window.htmx?.process(document.body);
    scrollTo(0, 0);
    if (hash) document.getElementById(hash.slice(1))?.scrollIntoView();
    document.dispatchEvent(new Event("spokeshed:page"));
  };

  document.addEventListener("submit", (event) => {
    const form = event.target;
    const { submitter } = event;
    const method = submitter?.getAttribute("formmethod") ?? form.method;
    const action = new URL(submitter?.getAttribute("formaction") ?? form.getAttribute("action") ?? "", location.href);
    const files = [...form.elements].filter((box) => box.type === "file");
    // A file is more than can be kept here: the browser sends it.
    if (event.defaultPrevented || method !== "post" || files.some((box) => box.files.length)) return;
    if (action.origin !== location.origin || leftAlone(action.pathname, form)) return;
    event.preventDefault();
    const body = new URLSearchParams(new FormData(form));
    for (const box of files) body.delete(box.name);
    if (submitter?.name) body.append(submitter.name, submitter.value);
    const entry = put(form, submitter, action.pathname + action.search, body);
    deliver(entry, () => post(action, body)).then(async (response) => {
      const then = response.headers.get("Spokeshed-Then");
      if (then) goTo(then);
      else showPage(await response.text(), action.hash);
    }).catch(() => withoutAnswer(form)); // it is kept, and show() says so
  });

  // ---- Sending again ----------------------------------------------------------------------------

  const sentenceIn = (html) => {
    const page = new DOMParser().parseFromString(html, "text/html");
    // A line that is nothing but a link says nothing of why.
    const linesOf = (box) => [...box.querySelectorAll("p, li")]
      .filter((one) => one.textContent.trim() !== one.querySelector("a")?.textContent.trim());
    const found = page.querySelector("[role=alert], .refusal, .warning, .notice") ?? page.querySelector("main") ?? page.body;
    // The head of a page may only lead to where it is said: in a box lower down, or beside the field.
    const lower = () => [...page.querySelectorAll("[role=alert]")].flatMap(linesOf);
    const lines = [linesOf(found), lower(), [...page.querySelectorAll(".error")]].find((some) => some.length) ?? [];
    const said = lines.map((one) => one.textContent.trim().replace(/\s+/g, " "));
    return [...new Set(said)].filter(Boolean).join(" ").slice(0, 300) || "The program did not take it.";
  };

  // Of several pages of this device one sends: whichever took the lease last and still has it.
  const OWN = random();
  const lease = () => {
    try {
      const [owner, until] = (localStorage.getItem(`${KEY}-by`) ?? "").split(" ");
      if (owner && owner !== OWN && Number(until) > Date.now()) return false;
      localStorage.setItem(`${KEY}-by`, `${OWN} ${Date.now() + GIVE_UP_MS + 1000}`);
      return true;
    } catch {
      return true; // nothing is shared with another page
    }
  };

  // What was saved only now, until somebody has read it.
  let savedLate = [];
  let sending = false;
  const sendAgain = async () => {
    if (sending || !kept().some((one) => one.state !== "refused") || !lease()) return;
    sending = true;
    let saved = false;
    try {
      for (const entry of kept()) {
        if (entry.state === "refused") continue;
        // On its way from this page or another: it is not overtaken.
        if (entry.state === "sent" && Date.now() - Date.parse(entry.at) < GIVE_UP_MS + 1000) break;
        if (kept().some((one) => one.state === "refused" && one.group === entry.group)) continue;
        const body = new URLSearchParams(entry.body);
        body.set("device_at", entry.at);
        const response = await post(entry.action, body);
        if (response.ok) {
          drop(entry.id);
          saved = true;
          savedLate.push({ words: entry.words, then: response.headers.get("Spokeshed-Then") ?? entry.home });
          show();
        } else if (isAnswer(response)) {
          change(entry.id, { state: "refused", why: sentenceIn(await response.text()) });
          saved = true;
        } else {
          const why = response.status === 401 ? "This device must be let in again first." : sentenceIn(await response.text());
          change(entry.id, { why });
          break;
        }
      }
    } catch {
      // Still out of reach: it stays kept, and is tried again.
    } finally {
      sending = false;
    }
    if (saved) await catchUp().catch(() => {}); // looked at again soon
    show();
  };

  // ---- Saying so --------------------------------------------------------------------------------

  const clock = (at) => new Date(at).toTimeString().slice(0, 5);
  const element = (name, words, also = {}) => Object.assign(document.createElement(name), { textContent: words }, also);

  const line = (entry) => {
    const item = element("li", "");
    const refused = entry.state === "refused";
    item.append(element("strong", refused ? "Not saved: " : "Not saved yet: "), `${entry.words}, ${clock(entry.at)}. `);
    if (entry.why) item.append(`${entry.why} `);
    const at = formOf(entry) ? "" : formAddress(entry);
    if (at && at !== here()) item.append(element("a", "To its form", { href: at, className: "button quiet" }));
    if (refused) {
      const forget = element("button", "Leave it out", { type: "button", className: "button quiet" });
      forget.addEventListener("click", () => { drop(entry.id); show(); sendAgain(); });
      item.append(forget);
    }
    return item;
  };

  const formOf = (entry) => [...document.forms].find((one) => one.getAttribute("action")?.split("#")[0] === entry.action
    && (!one.matches("[data-queue]") || document.getElementById(entry.place)));
  // A reading has a slip of its own, whatever is due on the sheet by then.
  const formAddress = (entry) => {
    const slip = entry.action.replace(/^(\/castings\/\d+\/(?:bore|throw))s$/, "$1").replace(/\/treads$/, "/tread")
      .replace(/\/heights$/, "/quartering?open=log");
    return slip !== entry.action || /\/seats\//.test(slip) ? slip : entry.home;
  };

  // A refused form gets back what was typed into it, where it stands on this page.
  const giveBack = (entry) => {
    const form = formOf(entry);
    if (form?.matches("[data-queue]")) return;
    if (!form || form.dataset.given === entry.id) return;
    form.dataset.given = entry.id;
    const counted = {};
    for (const [name, text] of new URLSearchParams(entry.body)) {
      const boxes = [...form.elements].filter((box) => box.name === name);
      const box = boxes[counted[name] = (counted[name] ?? -1) + 1];
      if (box && (isTyped(box) || box.matches("select")) && box.value === (box.defaultValue ?? box.value) && text) {
        box.value = text;
        box.closest("details")?.setAttribute("open", "");
      }
    }
  };

  const show = () => {
    const place = document.getElementById("unsaved");
    if (!place) return;
    for (const marked of document.querySelectorAll("[data-unsaved]")) marked.removeAttribute("data-unsaved");
    const late = kept().filter((one) => one.state !== "sent" || Date.now() - Date.parse(one.at) >= SLOW_MS);
    for (const entry of late) {
      const at = entry.home.split("?")[0] === location.pathname && entry.place && document.getElementById(entry.place);
      if (at) at.dataset.unsaved = entry.state;
      if (entry.state === "refused") giveBack(entry);
    }
    const shown = [...late.map((one) => `${one.id} ${one.state} ${one.why}`), behind, elsewhere, savedLate.length].join(" ");
    if (place.dataset.shown === shown) return;
    place.dataset.shown = shown;
    const opened = place.querySelector("details")?.open ?? false;
    place.replaceChildren();
    if (!late.length && !behind && !elsewhere && !savedLate.length) return;
    const waiting = late.filter((one) => one.state !== "refused");
    const refused = late.filter((one) => one.state === "refused");
    const named = (ones) => ones.map((one) => one.words).join("; ");
    const said = [
      refused.length ? `Not saved: ${named(refused)}` : "",
      waiting.length ? `Not saved yet: ${named(waiting)}` : "",
      savedLate.length ? `Saved now: ${named(savedLate)}` : "",
      behind ? "Changed elsewhere meanwhile" : "",
      elsewhere ? "Opened at another address than last time" : "",
    ];
    const box = element("details", "", { open: opened });
    const list = element("ul", "");
    list.append(...late.map(line));
    box.append(element("summary", said.filter(Boolean).join(". ")), list);
    place.append(box);
    if (waiting.length) {
      box.append(element("p", inPage
        ? "This browser keeps nothing: leave the page open until it is saved."
        : "Kept on this device, and sent again as soon as the program answers. The browser may be closed meanwhile."));
    }
    if (savedLate.length) {
      const told = element("p", "Saved now: ");
      for (const one of savedLate) told.append(element("a", one.words, { href: one.then, className: "button quiet" }), " ");
      const read = element("button", "I have read this", { type: "button", className: "button quiet" });
      read.addEventListener("click", () => { savedLate = []; show(); });
      told.append(read);
      box.append(told);
    }
    if (elsewhere) {
      const told = element("p", `Last time it was ${elsewhere}: what was not saved there shows, and is sent, only there. `);
      const read = element("button", "I have read this", { type: "button", className: "button quiet" });
      read.addEventListener("click", () => { elsewhere = ""; show(); });
      told.append(read);
      box.append(told);
    }
    if (behind) {
      const again = element("p", "Something on this sheet was changed elsewhere meanwhile. ");
      again.append(element("a", "Draw it anew", { href: location.href, className: "button quiet" }));
      box.append(again);
    }
  };

  // ---- Catching up ------------------------------------------------------------------------------

  // What somebody is at work on is left as it is.
  const isChanged = (box) => {
    if (["checkbox", "radio"].includes(box.type)) return box.checked !== box.defaultChecked;
    if (box.matches("select")) return box === document.activeElement;
    return box.type !== "hidden" && (box.value !== box.defaultValue || box === document.activeElement);
  };
  const atWork = (piece) => [...piece.querySelectorAll("input, textarea, select")].some(isChanged)
    || piece.querySelector('[aria-busy="true"], [role="alert"], .fold > .slip:not(:empty)') !== null;

  const wordsIn = (piece) => piece.textContent.replace(/\s+/g, " ");
  const liveOnes = () => {
    const live = [...document.querySelectorAll("[data-live]")];
    return live.length ? live : [document.getElementById("sheet")];
  };
  // As each was last drawn by the program, before anything was opened in it.
  const drawn = new Map();
  let behind = false;

  const exchange = async (piece, fresh) => {
    const folds = [...piece.querySelectorAll("details")].map((one) => one.open);
    const slips = [...piece.querySelectorAll('[data-slip][aria-expanded="true"]')].map((one) => one.getAttribute("href"));
    // What was written last stays said until the next, and what was chosen stays chosen.
    const written = piece.querySelector(".written")?.outerHTML;
    const chosen = [...piece.querySelectorAll("select[id]")].map((one) => [one.id, one.value]);
    const { scrollX, scrollY } = window;
    const source = document.getElementById("unsaved");
    await window.htmx?.swap({ text: fresh.innerHTML, target: piece, swap: "innerMorph", sourceElement: source });
    const after = [...piece.querySelectorAll("details")];
    if (after.length === folds.length) after.forEach((one, at) => { one.open = one.open || folds[at]; });
    for (const row of piece.querySelectorAll("[data-slip]")) {
      if (slips.includes(row.getAttribute("href"))) row.setAttribute("aria-expanded", "true");
    }
    if (written && !piece.querySelector(".written")) piece.insertAdjacentHTML("afterbegin", written);
    for (const [id, value] of chosen) {
      const box = document.getElementById(id);
      if (box && [...box.options].some((one) => one.value === value)) box.value = value;
    }
    scrollTo(scrollX, scrollY);
  };

  // Drawn afresh without taking the focus, what is typed or the place on the sheet.
  const catchUp = async () => {
    const address = new URL(location.href);
    address.hash = "";
    for (const name of ["folded", "kept"]) {
      const box = document.querySelector(`#list [name="${name}"]`);
      if (box) address.searchParams.set(name, box.value);
    }
    // The reading somebody has chosen stays the one that is asked for.
    const due = document.getElementById("due-now")?.value;
    if (due) address.searchParams.set("due", due);
    const steps = document.querySelector('#list .steps-row[aria-expanded="true"]')?.id;
    if (steps) address.searchParams.set("steps", steps.slice("open-".length));
    const response = await fetch(address, { headers: { Accept: "text/html" }, signal: within(GIVE_UP_MS) });
    if (!response.ok || response.redirected) return;
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    let left = false;
    behind = false;
    for (const piece of liveOnes()) {
      const fresh = page.getElementById(piece.id);
      if (!fresh) continue;
      if (atWork(piece)) {
        left = true;
        // Of a checklist only the piece that somebody is at work on waits, and not for long.
        behind = behind || (piece.id === "sheet" && drawn.has(piece.id) && drawn.get(piece.id) !== wordsIn(fresh));
        continue;
      }
      drawn.set(piece.id, wordsIn(fresh));
      await exchange(piece, fresh);
    }
    const tally = page.getElementById("tally");
    if (tally) document.getElementById("tally")?.replaceChildren(...tally.childNodes);
    if (!left) document.body.dataset.stand = page.body.dataset.stand ?? "";
  };

  let looking = false;
  let seen = "";
  const look = async () => {
    if (looking || document.hidden || !document.body.dataset.stand) return;
    looking = true;
    try {
      const mark = `"${document.body.dataset.stand}"`;
      const headers = { "If-None-Match": mark };
      const response = await fetch("/stand", { headers, cache: "no-store", signal: within(GIVE_UP_MS) });
      if (response.ok || response.status === 304) await sendAgain();
      const stand = response.headers.get("ETag");
      // What is at work is looked at again once it is let go of, or when there is more.
      if (!response.ok || stand === `"${document.body.dataset.stand}"` || (stand === seen && liveOnes().some(atWork))) return;
      await catchUp();
      seen = stand;
    } catch {
      // Out of reach: looked at again soon, and what is kept is said to be.
    } finally {
      looking = false;
      show();
    }
  };

  // What is kept belongs to the address it was typed at. Another port is told by a cookie, which all ports of a machine
  // share; another machine's name leads to the page that asks for the code, and that says so.
  const AT = "spokeshed_at";
  let elsewhere = "";
  const lookAtAddress = () => {
    const before = document.cookie.split("; ").find((one) => one.startsWith(`${AT}=`))?.slice(AT.length + 1) ?? "";
    const now = encodeURIComponent(location.origin);
    if (before && before !== now) elsewhere = decodeURIComponent(before);
    document.cookie = `${AT}=${now}; Path=/; Max-Age=31536000; SameSite=Strict`;
  };

  // ---- What was typed and left, for a look at another sheet ---------------------------------------

  // A page comes back anew: what was typed in it and not sent stands in it again on the way back, from the words too.
  // Only in the tab it was typed in, once, and with the unit that was chosen for it.
  const leftAt = () => `spokeshed-left ${here()}`;
  let onItsWay = null;
  const leftBoxes = () => [...document.querySelectorAll("main form[method=post] :is(input, textarea, select)")].filter(
    (box) => box.name && box.name !== "who" && box.form !== onItsWay && (isTyped(box) ? !/file|password/.test(box.type) : box.matches("select")));
  const asDrawn = (box) => (box.matches("select")
    ? ([...box.options].find((one) => one.defaultSelected) ?? box.options[0])?.value : box.defaultValue);
  const boxKey = (box) => {
    const alike = [...box.form.elements].filter((one) => one.name === box.name);
    return `${box.form.getAttribute("action")} ${box.name} ${alike.indexOf(box)}`;
  };
  const leave = () => {
    const typed = leftBoxes().filter((box) => box.value !== asDrawn(box)).map((box) => [boxKey(box), box.value]);
    try {
      sessionStorage.setItem(leftAt(), JSON.stringify(Object.fromEntries(typed)));
    } catch { /* A private window may keep nothing: then it is gone, as it is from any page of the web. */ }
  };
  const takeLeft = () => {
    try {
      const text = sessionStorage.getItem(leftAt());
      sessionStorage.removeItem(leftAt());
      return text;
    } catch { return null; } // a private window
  };
  const comeBack = () => {
    const text = takeLeft();
    const [way] = performance.getEntriesByType("navigation");
    const words = document.referrer && new URL(document.referrer).pathname === "/words";
    if (!text || (way?.type !== "back_forward" && !words)) return;
    const typed = JSON.parse(text);
    for (const box of leftBoxes()) {
      const was = typed[boxKey(box)];
      if (was === undefined || box.value !== asDrawn(box)) continue;
      box.value = was;
      box.dispatchEvent(new Event("input", { bubbles: true }));
    }
  };
  document.addEventListener("submit", (event) => { onItsWay = event.target; }, true);

  const begin = () => {
    lookAtAddress();
    for (const piece of liveOnes()) if (piece) drawn.set(piece.id, wordsIn(piece));
    show();
    sendAgain();
  };
  // Drawn anew by goTo, at the place that is named and not where it stood before.
  addEventListener("load", () => {
    if (history.scrollRestoration !== "manual") return;
    document.getElementById(decodeURIComponent(location.hash.slice(1)))?.scrollIntoView();
  });
  addEventListener("pagehide", () => { if (!anew) history.scrollRestoration = "auto"; });
  addEventListener("pagehide", leave);
  document.addEventListener("DOMContentLoaded", begin);
  document.addEventListener("DOMContentLoaded", comeBack);
  addEventListener("pageshow", show);
  addEventListener("online", look);
  document.addEventListener("visibilitychange", look);
  document.addEventListener("htmx:after:settle", show);
  document.addEventListener("spokeshed:page", show);
  setInterval(look, AGAIN_MS);
})();
