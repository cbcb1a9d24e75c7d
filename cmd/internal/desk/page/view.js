// What is looked at: the day, units and slots that a person chooses, and what the server says by itself.
import { waitMs } from "./pure.js";
import { say, show, showPage } from "./parts.js";
import { base, gone, lost, lostStatus, onScreen, pause, root } from "./post.js";

// --- Days, units, slots -----------------------------------------------------------------------------------------------

let dayOnWay = null;

// pickDay shows another day; of days picked faster than answers come only the newest is waited for.
export async function pickDay(day) {
  setQuery({ day });
  dayOnWay?.abort();
  const mine = (dayOnWay = new AbortController());
  try {
    const answer = await fetch(`${base}/part/day${location.search}`, { signal: mine.signal, credentials: "same-origin" });
    if (mine !== dayOnWay) return;
    if (lostStatus(answer.status)) return lost(answer.status);
    if (answer.ok) show({ parts: { "part-day": await answer.text() } });
  } catch (err) {
    if (err.name !== "AbortError") say("The desk does not answer; the day shown is the one before.");
  }
}

function setQuery(change) {
  const query = new URLSearchParams(location.search);
  for (const [key, value] of Object.entries(change)) query.set(key, value);
  history.replaceState(null, "", "?" + query);
}

// choose turns the whole page to another choice of units or slots and keeps the rest of the view.
export async function choose(query) {
  setQuery(Object.fromEntries(query));
  try {
    const answer = await fetch(location.pathname + location.search, { credentials: "same-origin" });
    if (lostStatus(answer.status)) return lost(answer.status);
    if (answer.ok) showPage(await answer.text());
    listen();
  } catch {
    say("The desk does not answer; try again.");
  }
}

document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a[href]");
  if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey && event.button === 0) {
    const to = new URL(link.href);
    if (to.origin === location.origin && to.pathname === location.pathname && to.search && !to.hash) {
      event.preventDefault();
      choose(to.searchParams);
    }
    return;
  }
  const picture = event.target.closest?.("#part-year svg, #part-year img");
  const slider = document.getElementById("day-slider");
  if (!picture || !slider) return;
  const box = (picture.querySelector("image") || picture).getBoundingClientRect();
  const days = Number(slider.max) + 1;
  const day = Math.floor(((event.clientX - box.left) / box.width) * days);
  if (day < 0 || day >= days) return;
  slider.value = String(day);
  pickDay(day);
});

// --- What the server says by itself -----------------------------------------------------------------------------------

let source = null;
let trials = 0;

export function listen() {
  source?.close();
  if (gone() || !document.body.dataset.sheet) return;
  source = new EventSource(`${base}/events${location.search}`);
  const mine = source;
  mine.addEventListener("open", () => {
    trials = 0;
    delete root.dataset.offline;
  });
  mine.addEventListener("parts", (event) => heard(event));
  mine.addEventListener("job", (event) => heard(event, "runs"));
  mine.addEventListener("disk", (event) => heard(event, "conflict"));
  mine.addEventListener("error", async () => {
    if (mine !== source) return;
    mine.close();
    root.dataset.offline = "yes";
    await pause(waitMs(trials++));
    if (mine !== source || gone()) return;
    try {
      const there = await fetch(`${base}/part/bar${location.search}`, { credentials: "same-origin" });
      if (lostStatus(there.status)) return lost(there.status);
    } catch {
      if (trials === 1) say("The desk does not answer. It is tried again until it does.");
    }
    listen();
  });
}

// heard takes an event: parts where it brings them, the progress of a run, or else a word to fetch a part anew.
async function heard(event, part) {
  let answer = {};
  try {
    answer = JSON.parse(event.data || "{}");
  } catch {
    answer = {};
  }
  if (answer.parts) {
    if (show(answer)) onScreen(undefined, false);
    return;
  }
  if (part === "runs" && moveBar(answer)) return;
  if (!part) return;
  const fresh = await fetch(`${base}/part/${part}${location.search}`, { credentials: "same-origin" }).catch(() => null);
  if (fresh?.ok) show({ parts: { ["part-" + part]: await fresh.text() }, said: answer.said });
}

// moveBar sets a run's bar; false where the run is not shown or is over, which the part says.
function moveBar({ run, id = run, done, of, what, over }) {
  const bar = document.querySelector(`[data-run="${CSS.escape(String(id))}"] progress`);
  if (!bar || over || done === undefined || !of || done >= of) return false;
  bar.max = of;
  bar.value = done;
  const words = bar.closest("[data-run]").querySelector(".what");
  if (words && what) words.textContent = what;
  return true;
}
