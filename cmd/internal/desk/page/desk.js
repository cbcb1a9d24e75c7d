// The desk's script. The page is whole without it: forms are sent and pages come back. With it, answers come as parts that
// are set into the page, so that the curve follows the hand. Rooms: pure.js reckons, parts.js sets parts into the page,
// hands.js knows the handle and the week grids, post.js sends, view.js picks days and units and listens to the server;
// this one minds forms, fields and keys.
import { unitOf } from "./pure.js";
import { hand, onShown } from "./parts.js";
import { drawHandle, follow, paintWeeks, prepareGrids } from "./hands.js";
import { base, gone, isChanged, line, onScreen, post, rememberText, root } from "./post.js";
import { choose, listen, pickDay } from "./view.js";

// --- Forms and fields -------------------------------------------------------------------------------------------------

const inSheet = (url) => new URL(url, location.href).pathname.startsWith(base + "/");
const nameOf = (form) => "knob " + (form.dataset.key || form.getAttribute("action"));
hand.waits = (field) => (field.id === "handle" ? line.holds("handle") : field.form.matches(".knob") && line.holds(nameOf(field.form)));

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (gone() || event.defaultPrevented) return;
  if (form.method === "post" && inSheet(form.getAttribute("action"))) {
    event.preventDefault();
    sendForm(form, { button: event.submitter });
  } else if (form.method === "get" && new URL(form.action).pathname === location.pathname) {
    event.preventDefault();
    choose(new URLSearchParams(new FormData(form, event.submitter)));
  }
});

function sendForm(form, { released, moving, button } = {}) {
  const fields = new FormData(form, button);
  const knob = form.matches(".knob");
  if (knob && form.dataset.key && !fields.has("key")) fields.set("key", form.dataset.key);
  if (!moving) for (const field of form.elements) if (field !== document.activeElement || knob) hand.typed.delete(field);
  const path = new URL(form.getAttribute("action"), location.href).pathname;
  post(path, fields, { name: knob ? nameOf(form) : undefined, released, moving });
}

// The field that a slider belongs to; its unit is the one that is written there.
function writeFrom(range) {
  const field = range.form?.querySelector("[name=value]");
  if (!field || field === range) return;
  const unit = range.dataset.unit ?? unitOf(field.value);
  field.value = (range.value + " " + unit).trim();
  hand.typed.add(field);
}

const isRange = (node) => node instanceof HTMLInputElement && node.type === "range";
let byKey = null; // the slider that was moved by a key which is still down
let keyTimer = 0;

document.addEventListener("input", (event) => {
  const field = event.target;
  if (field.id === "handle") follow();
  else if (field.id === "day-slider") pickDay(Number(field.value));
  else if (isRange(field)) {
    writeFrom(field);
    if (document.body.dataset.live === "yes" && hand.grabbed === field) sendForm(field.form, { moving: true });
  } else if (field.form) hand.typed.add(field);
});

document.addEventListener("change", (event) => {
  const field = event.target;
  if (field.id === "day-slider" || !field.form && field.id !== "handle") return;
  if (isRange(field)) {
    if (byKey !== field) return release(field);
    clearTimeout(keyTimer); // a key that is held down goes on; one that no release follows is sent after a while
    keyTimer = setTimeout(() => release(field), 500);
  } else if (field.form.matches(".knob")) sendForm(field.form, { released: mark() });
  else if (field.form.method === "get" && field.matches("select,input[type=radio],input[type=checkbox]")) field.form.requestSubmit();
});

function mark() {
  performance.mark("release");
  return performance.now();
}

// release sends a slider's place, now that the hand is off it.
function release(range) {
  clearTimeout(keyTimer);
  keyTimer = 0;
  const released = mark();
  if (range.id === "handle") {
    const key = range.dataset.key || range.form?.dataset.key || "store.volume";
    post(base + "/change", { key, value: `${Number(range.value)} m3` }, { name: "handle", released });
  } else if (range.form) sendForm(range.form, { released });
}

document.addEventListener("pointerdown", (event) => {
  byKey = null;
  if (isRange(event.target)) hand.grabbed = event.target;
});
for (const kind of ["pointerup", "pointercancel"]) {
  document.addEventListener(kind, () => { hand.grabbed = null; });
}
document.addEventListener("keyup", (event) => {
  if (byKey === event.target && keyTimer) {
    clearTimeout(keyTimer);
    keyTimer = 0;
    release(byKey);
  }
  byKey = null;
});

// --- Keys -------------------------------------------------------------------------------------------------------------

const writes = (node) => node.matches?.("textarea,select,[contenteditable],input:not([type=range],[type=checkbox],[type=radio],[type=button],[type=submit])");

function pressBar(verb) {
  const form = document.querySelector(`#part-bar form[action$="/${verb}"], form[action$="/${verb}"]`);
  const button = form?.querySelector("button:not([type=button]),input[type=submit]");
  if (form && !button?.disabled) form.requestSubmit(button || undefined);
}

document.addEventListener("keydown", (event) => {
  if (isRange(event.target)) {
    if (byKey !== event.target) keyTimer = 0;
    byKey = event.target;
  }
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const key = event.key.toLowerCase();
  if (key === "s") {
    event.preventDefault();
    const field = document.activeElement;
    if (hand.typed.has(field) && field.form?.matches(".knob")) sendForm(field.form); // what was just written is saved too
    pressBar("save");
  } else if (!writes(event.target) && (key === "z" || key === "y")) {
    event.preventDefault();
    pressBar(key === "y" || event.shiftKey ? "redo" : "undo");
  }
});

// --- Leaving ----------------------------------------------------------------------------------------------------------

let fetching = 0; // when a file was asked for, which leaves nothing

// unsaved goes by the server's mark where there is one.
function unsaved() {
  const marked = document.querySelector("#part-bar [data-unsaved], #part-bar[data-unsaved]");
  return marked ? !["", "no", "false"].includes(marked.dataset.unsaved) : isChanged();
}

document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a[href]");
  if (link && inSheet(link.href)) fetching = Date.now();
}, true);

window.addEventListener("beforeunload", (event) => {
  if ((unsaved() || !line.idle) && Date.now() - fetching > 1000) event.preventDefault();
});

// --- Start ------------------------------------------------------------------------------------------------------------

onShown((names) => {
  if (names.includes("part-text")) rememberText();
  if (names.includes("part-weeks")) prepareGrids();
  if (names.includes("part-curve")) {
    prepareGrids();
    if (hand.grabbed?.id === "handle" || line.holds("handle")) follow();
  }
});
if (document.body.dataset.sheet) {
  root.dataset.script = "yes";
  rememberText();
  prepareGrids();
  drawHandle(release);
  paintWeeks((fields) => post(base + "/paint", fields, { name: "paint " + fields.load, released: mark() }));
  listen();
  onScreen();
}
