// Sends what a person changed, one thing at a time, and sets the answers into the page; minds a server that is away.
import { Line, waitMs } from "./pure.js";
import { hand, rev, say, show, showPage } from "./parts.js";

// --- Sending ----------------------------------------------------------------------------------------------------------

export const root = document.documentElement;
export const base = "/sheet/" + document.body.dataset.sheet;
export const pause = (ms) => new Promise((done) => setTimeout(done, ms));
export const lostStatus = (status) => [401, 403, 404, 410].includes(status);

export const line = new Line(send, (err) => {
  console.error(err);
  say("The page could not show the answer; load it again.");
});
let changed = false; // whether anything was changed since the page was opened or saved
let isGone = false; // the server no longer knows this sheet
export const gone = () => isGone;
export const isChanged = () => changed;
let text = ""; // the scenario's newest text, to be put back into a server that lost it

// post sends fields to an address of the sheet. Of two with one name the older gives way; released is when the hand let go.
export function post(path, fields, { name, released, moving, button } = {}) {
  const body = new URLSearchParams(fields);
  body.delete("rev");
  if (moving) body.set("moving", "1");
  const same = (other) => other.path === path && other.key === body.toString();
  return line.add({ path, body, key: body.toString(), same, name, released, button });
}

// The choice of day, units and slots goes with each request, so that the parts come back in it.
const withView = (path) => path + location.search;

async function send(item) {
  for (let trial = 0; !isGone; trial++) {
    item.body.set("rev", String(rev()));
    let answer;
    try {
      answer = await fetch(withView(item.path), {
        method: "POST", body: item.body, headers: { Accept: "application/json" }, credentials: "same-origin",
      });
      item.answered = true;
      await take(answer, item);
      return;
    } catch (err) {
      if (!(err instanceof TypeError)) throw err;
      item.answered = false;
      const ms = waitMs(trial);
      say(`The desk does not answer. Nothing is lost; trying again in ${ms / 1000} s.`);
      root.dataset.offline = "yes";
      await pause(ms);
      if (item.name && line.waits(item.name)) return; // a newer value is there to be sent
    }
  }
}

// take sets what the server answered into the page.
async function take(response, item) {
  delete root.dataset.offline;
  if (lostStatus(response.status)) return lost(response.status);
  const before = rev();
  const type = response.headers.get("Content-Type") || "";
  if (!type.includes("json")) {
    const html = await response.text();
    if (type.includes("html")) showPage(html);
    else say(html.trim().slice(0, 300) || `The desk answered with status ${response.status}.`);
    if (response.status === 409) conflict();
    return;
  }
  const answer = await response.json();
  if (answer.gone) return lost(404);
  const fresh = show(answer);
  if (answer.ms) {
    root.dataset.engineMs = answer.ms.engine;
    root.dataset.serverMs = answer.ms.server;
  }
  if (response.status === 409) return conflict();
  if (response.ok && !answer.faults?.length) {
    if (item.path.endsWith("/save")) changed = false;
    else if (rev() > before) changed = true;
  }
  if (fresh) onScreen(item.released, Boolean(answer.parts?.["part-curve"]));
}

// onScreen marks the page as ready once the browser has drawn it, and measures the time since the hand let go.
export function onScreen(released, hasCurve) {
  const at = rev();
  let once = false;
  const done = () => {
    if (once) return;
    once = true;
    if (released !== undefined && hasCurve) {
      performance.measure("knob-to-curve", { start: released, end: performance.now() });
    }
    if (Number(root.dataset.ready || -1) <= at) root.dataset.ready = String(at);
  };
  requestAnimationFrame(() => {
    const drawn = new MessageChannel(); // its message comes when the frame is done
    drawn.port1.onmessage = done;
    drawn.port2.postMessage(0);
  });
  setTimeout(done, 500); // a page in the background draws no frames
}

function conflict() {
  const part = document.getElementById("part-conflict");
  if (!part) return;
  part.tabIndex = -1;
  part.focus();
}

// --- A server that has forgotten the sheet ----------------------------------------------------------------------------

export function rememberText() {
  const part = document.getElementById("part-text");
  const field = part?.querySelector("textarea");
  const now = field && !hand.typed.has(field) ? field.defaultValue : (part?.querySelector("pre")?.textContent ?? "");
  if (now.trim()) text = now;
}

const make = (kind, words, more = {}) => Object.assign(document.createElement(kind), { textContent: words, ...more });

export function lost(status) {
  if (isGone) return;
  isGone = true;
  const box = make("section", "", { id: "gone", className: "conflict", tabIndex: -1 });
  box.setAttribute("role", "alertdialog");
  box.setAttribute("aria-labelledby", "gone-what");
  const back = make("button", "Put my text back", { type: "button" });
  const field = make("textarea", "", { readOnly: true, rows: 8, value: text });
  field.setAttribute("aria-label", "Your text of the scenario");
  const how = make("p", status === 401 || status === 403
    ? "Open the address that the desk printed when it started, in another tab. Then come back here."
    : "Your text is still here: put it back, or copy it.");
  box.append(make("h2", "The desk was started anew and no longer has this sheet", { id: "gone-what" }), how, back, field);
  back.addEventListener("click", () => putBack(how));
  (document.querySelector("main") || document.body).prepend(box);
  box.focus();
}

// putBack opens the file again and gives the new sheet the text. What is on disk stays until it is saved.
async function putBack(how) {
  const file = document.body.dataset.file || document.querySelector("[data-file]")?.dataset.file || "";
  try {
    const opened = await fetch("/open/" + file.split("/").map(encodeURIComponent).join("/"), { credentials: "same-origin" });
    const page = new DOMParser().parseFromString(await opened.text(), "text/html");
    const sheet = page.body.dataset.sheet;
    if (!opened.ok || !sheet) {
      how.textContent = "The desk does not let this tab in. Open the address that it printed when it started, in another tab, and press again.";
      return;
    }
    const answer = await fetch(`/sheet/${sheet}/text`, {
      method: "POST", credentials: "same-origin", headers: { Accept: "application/json" },
      body: new URLSearchParams({ rev: page.body.dataset.rev || "0", text }),
    });
    if (!answer.ok) {
      how.textContent = "The desk did not take the text. Copy it from here.";
      return;
    }
    changed = false;
    location.assign(`/sheet/${sheet}`);
  } catch {
    how.textContent = "The desk does not answer yet. Start it, and press again.";
  }
}
