// The page's regions: an answer of the server replaces them. What a person has in hand stays: an element that is there
// before and after is kept and set anew, so that focus, selection, scroll and a slider's grab live on.

export const hand = {
  grabbed: null, // the slider that is being drawn
  typed: new Set(), // text fields with words that were not sent yet, or that the server refused
  waits: () => false, // tells whether a form's newest value is still to be answered
  held: new Set(), // ids of parts that wait until a stroke of the hand is over
};
const late = new Map(); // what came for them meanwhile

let shownRev = Number(document.body.dataset.rev || 0);
const shownHooks = [];

export const rev = () => shownRev;
// onShown has a function called with the names of parts after they were set.
export const onShown = (f) => shownHooks.push(f);

// say puts one sentence into the live region; the same sentence twice is said twice.
export function say(sentence) {
  const said = document.getElementById("said");
  if (!said || !sentence) return;
  said.textContent = said.textContent === sentence ? sentence + "\u00a0" : sentence;
}

// show sets what an answer brings; false where it is older than what is shown.
export function show(answer) {
  if (!answer || (answer.rev !== undefined && answer.rev < shownRev)) return false;
  if (answer.rev !== undefined) setRev(answer.rev);
  for (const field of hand.typed) {
    const inUse = field === document.activeElement || (hand.grabbed && hand.grabbed.form === field.form);
    if (!inUse || !field.isConnected) hand.typed.delete(field);
  }
  for (const f of answer.faults || []) {
    const field = fieldOf(f.key);
    if (field) hand.typed.add(field); // the faulty words stay where they were written
  }
  const names = Object.keys(answer.parts || {});
  for (const name of names) setPart(name, answer.parts[name]);
  if (answer.faults) showFaults(answer.faults, names.includes("part-knobs"));
  for (const f of shownHooks) f(names);
  say(answer.said);
  return true;
}

function setRev(to) {
  shownRev = to;
  document.body.dataset.rev = String(to);
  for (const field of document.querySelectorAll("input[type=hidden][name=rev]")) field.value = String(to);
}

function setPart(name, html) {
  if (hand.held.has(name)) {
    late.set(name, html);
    return;
  }
  const old = document.getElementById(name);
  const fresh = new DOMParser().parseFromString(html, "text/html").getElementById(name);
  if (!old || !fresh) return;
  match(old, document.importNode(fresh, true));
}

// letGo sets what came for a part while it was held.
export function letGo(name) {
  hand.held.delete(name);
  if (!late.has(name)) return;
  setPart(name, late.get(name));
  late.delete(name);
  for (const f of shownHooks) f([name]);
}

// showPage takes all parts from a whole page of the server.
export function showPage(html) {
  const page = new DOMParser().parseFromString(html, "text/html");
  const parts = {};
  for (const part of page.querySelectorAll("[id^=part-]")) {
    if (document.getElementById(part.id)) parts[part.id] = part.outerHTML;
  }
  return show({ rev: Number(page.body.dataset.rev || shownRev), parts });
}

// match makes an element like another, keeping it and what it holds where the two are of one kind.
function match(old, fresh) {
  if (old.isEqualNode(fresh)) {
    setField(old, fresh, true);
    return;
  }
  if (old.nodeType !== fresh.nodeType || old.nodeName !== fresh.nodeName || (old.id || "") !== (fresh.id || "")) {
    old.replaceWith(fresh);
    return;
  }
  if (old.nodeType !== Node.ELEMENT_NODE) {
    if (old.data !== fresh.data) old.data = fresh.data;
    return;
  }
  matchAttributes(old, fresh);
  matchChildren(old, fresh);
  setField(old, fresh, false);
}

// What the person opened, and what the script set by itself, is not the server's to take back.
const kept = new Set(["style", "open"]);

function matchAttributes(old, fresh) {
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && !kept.has(name)) old.removeAttribute(name);
  }
  for (const { name, value } of fresh.attributes) {
    if (old.getAttribute(name) !== value && name !== "open") old.setAttribute(name, value);
  }
}

function matchChildren(old, fresh) {
  const wanted = [...fresh.childNodes];
  for (let i = 0; i < wanted.length; i++) {
    const want = wanted[i];
    let have = old.childNodes[i];
    // An element of the same mark that stands further on is fetched, so that lists may grow in the middle.
    const mark = markOf(want);
    if (mark && markOf(have) !== mark) {
      const found = [...old.children].find((c) => markOf(c) === mark);
      if (found && !found.contains(document.activeElement)) {
        old.insertBefore(found, have || null);
        have = found;
      } else if (found) {
        while (have && have !== found) { // what has the focus is not moved: what stands before it goes
          const next = have.nextSibling;
          have.remove();
          have = next;
        }
      }
    }
    if (have) match(have, want);
    else old.appendChild(want);
  }
  while (old.childNodes.length > wanted.length) old.lastChild.remove();
}

function markOf(node) {
  if (!node || node.nodeType !== Node.ELEMENT_NODE) return "";
  return node.id || node.dataset?.key || node.dataset?.load || node.dataset?.run || "";
}

// setField sets what a field holds, which attributes do not.
function setField(old, fresh, deep) {
  if (deep && old.nodeType === Node.ELEMENT_NODE && !old.matches("input,textarea,select,option")) {
    const was = old.querySelectorAll("input,textarea,select");
    const now = fresh.querySelectorAll("input,textarea,select");
    was.forEach((field, i) => setField(field, now[i], false));
    return;
  }
  if (old === hand.grabbed || hand.typed.has(old) || ((old.form || old.id === "handle") && hand.waits(old))) return;
  if (old instanceof HTMLInputElement) {
    if (old.type === "checkbox" || old.type === "radio") old.checked = fresh.checked;
    else if (old.value !== fresh.value) old.value = fresh.value;
  } else if (old instanceof HTMLTextAreaElement || old instanceof HTMLSelectElement) {
    if (old.value !== fresh.value) old.value = fresh.value;
  }
}

// formOf is the form of a knob.
export function formOf(key) {
  return [...document.querySelectorAll("form.knob")].find((f) => f.dataset.key === key);
}

const fieldOf = (key) => formOf(key)?.querySelector("[name=value]");

// showFaults sets each fault beside its field. Where the server sent the knobs anew it has set them itself; then only what the
// fields say of it is seen to.
function showFaults(faults, fromServer) {
  const byKey = new Map();
  for (const f of faults) byKey.set(f.key, [...(byKey.get(f.key) || []), f.text]);
  for (const form of document.querySelectorAll("form.knob")) {
    const field = form.querySelector("[name=value]");
    const line = form.querySelector(".fault") || (byKey.has(form.dataset.key) ? faultLine(form) : null);
    if (!field || !line) continue;
    const texts = byKey.get(form.dataset.key);
    if (texts || !fromServer) line.textContent = (texts || []).join(" ");
    const bad = line.textContent.trim() !== "";
    line.hidden = !bad;
    if (bad) {
      field.setAttribute("aria-invalid", "true");
      describe(field, line.id, true);
    } else {
      field.removeAttribute("aria-invalid");
      describe(field, line.id, false);
    }
  }
}

function faultLine(form) {
  const line = document.createElement("p");
  line.className = "fault";
  line.id = "fault-" + form.dataset.key.replace(/[^A-Za-z0-9]/g, "-");
  line.setAttribute("role", "alert");
  form.append(line);
  return line;
}

function describe(field, id, on) {
  const ids = new Set((field.getAttribute("aria-describedby") || "").split(/\s+/).filter(Boolean));
  if (on) ids.add(id);
  else ids.delete(id);
  if (ids.size) field.setAttribute("aria-describedby", [...ids].join(" "));
  else field.removeAttribute("aria-describedby");
}
