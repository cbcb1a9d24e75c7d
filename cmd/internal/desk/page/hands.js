// What a hand does on the pictures: the handle on the curve, and the week grids.
import { between, numbers, figure, withNumber, stepped, rectangle, inside, cellsText, hoursOf } from "./pure.js";
import { hand, letGo, say } from "./parts.js";

// --- The handle -------------------------------------------------------------------------------------------------------

const handleOf = () => document.getElementById("handle");
const curves = () => document.querySelectorAll("#part-curve svg[data-savings]");

// follow shows what the handle's place saves, by straight lines between the proven points, and moves the line to it.
export function follow() {
  const handle = handleOf();
  if (!handle) return;
  const m3 = Number(handle.value);
  let saving = null;
  for (const svg of curves()) {
    const xs = numbers(svg.dataset.m3);
    const ys = numbers(svg.dataset.savings);
    if (xs.length < 2 || xs.length !== ys.length) continue;
    saving = between(xs, ys, m3);
    moveLine(svg, (m3 - xs[0]) / (xs[xs.length - 1] - xs[0]), saving);
  }
  if (saving === null) return;
  const atM3 = document.getElementById("at-m3");
  const atSaving = document.getElementById("at-saving");
  if (atM3) atM3.textContent = withNumber(atM3.textContent, figure(m3));
  if (atSaving) atSaving.textContent = withNumber(atSaving.textContent, figure(saving));
  const words = [atM3?.textContent, atSaving?.textContent].filter(Boolean).join(", ");
  if (words) handle.setAttribute("aria-valuetext", words);
}

// moveLine sets the upright line and the ring. The words in the picture stay until the server draws it anew: class moving.
function moveLine(svg, share, saving) {
  const plot = numbers(svg.dataset.plot);
  const money = numbers(svg.dataset.money);
  const ring = svg.querySelector(".ring");
  if (plot.length !== 4 || !ring) return;
  const x = plot[0] + share * (plot[2] - plot[0]);
  if (svg.dataset.fromX === undefined) svg.dataset.fromX = ring.getAttribute("cx");
  const by = x - Number(svg.dataset.fromX);
  for (const line of svg.querySelectorAll(".handle-line")) line.setAttribute("transform", `translate(${by} 0)`);
  ring.setAttribute("cx", x);
  if (money.length === 2 && money[1] > money[0]) {
    ring.setAttribute("cy", plot[3] - ((saving - money[0]) / (money[1] - money[0])) * (plot[3] - plot[1]));
  }
  svg.classList.add("moving");
}

// volumeAt is the volume under a place on the screen.
function volumeAt(svg, event) {
  const plot = numbers(svg.dataset.plot);
  const xs = numbers(svg.dataset.m3);
  const matrix = svg.getScreenCTM();
  const handle = handleOf();
  if (plot.length !== 4 || !matrix || !handle) return null;
  const x = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse()).x;
  const share = (x - plot[0]) / (plot[2] - plot[0]);
  const m3 = xs[0] + share * (xs[xs.length - 1] - xs[0]);
  return stepped(m3, Number(handle.min), Number(handle.max), Number(handle.step) || 0);
}

// drawHandle lets the handle be drawn from anywhere in the plot. released is called with the handle when it is let go.
export function drawHandle(released) {
  let svg = null; // the picture under the hand
  let before = "";
  const move = (event) => {
    const m3 = volumeAt(svg, event);
    if (m3 === null) return;
    handleOf().value = m3;
    follow();
  };
  const over = (event) => {
    if (!svg) return;
    svg = null;
    letGo("part-curve");
    const handle = handleOf();
    hand.grabbed = null;
    if (event.type === "pointercancel") {
      handle.value = before;
      follow();
    } else if (handle.value !== before) released(handle);
  };
  document.addEventListener("pointerdown", (event) => {
    const on = event.target.closest?.("#part-curve svg[data-savings]");
    const handle = handleOf();
    if (!on || !handle || event.button !== 0 || handle.disabled || !inPlot(on, event)) return;
    svg = on;
    before = handle.value;
    hand.grabbed = handle;
    hand.held.add("part-curve"); // the picture that holds the pointer is not taken away under it
    svg.setPointerCapture(event.pointerId);
    handle.focus({ preventScroll: true });
    event.preventDefault();
    move(event);
  });
  document.addEventListener("pointermove", (event) => svg && move(event));
  document.addEventListener("pointerup", over);
  document.addEventListener("pointercancel", over);
}

function inPlot(svg, event) {
  const plot = numbers(svg.dataset.plot);
  const matrix = svg.getScreenCTM();
  if (plot.length !== 4 || !matrix) return false;
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  return at.x >= plot[0] - 8 && at.x <= plot[2] + 8 && at.y >= plot[1] - 8;
}

// --- The week grids ---------------------------------------------------------------------------------------------------

const places = new Map(); // where the keyboard stands in each load's grid: [row, column]
let stroke = null; // what is being drawn: {table, cells, from, to, on, was, keys}

// cellsOf are a grid's cells as they stand on the screen, row by row.
function cellsOf(table) {
  return [...table.rows].map((row) => [...row.querySelectorAll("td[data-day]")]).filter((row) => row.length > 0);
}

const isOn = (cell) => cell.getAttribute("aria-selected") === "true";
const gridOf = (node) => node.closest?.("table.week");
const paintable = (table) => table && table.getAttribute("aria-readonly") !== "true" && table.getAttribute("aria-disabled") !== "true";

function placeOf(cells, cell) {
  for (let row = 0; row < cells.length; row++) {
    const column = cells[row].indexOf(cell);
    if (column >= 0) return { row, column };
  }
  return null;
}

// weekOf are the grid's days, a row of on and off for each, whichever way the table lies.
function weekOf(cells) {
  const rows = [];
  for (const cell of cells.flat()) {
    const day = Number(cell.dataset.day);
    (rows[day] ||= [])[Number(cell.dataset.slot)] = isOn(cell);
  }
  return rows;
}

// prepareGrids makes one cell of each grid a stop of the tab key, the one where the keyboard stood last.
export function prepareGrids() {
  for (const table of document.querySelectorAll("table.week")) {
    const cells = cellsOf(table);
    if (cells.length === 0) continue;
    const [row, column] = places.get(table.dataset.load) || [0, 0];
    const stop = cells[row]?.[column] || cells[0][0];
    for (const cell of cells.flat()) cell.tabIndex = cell === stop ? 0 : -1;
    if (!paintable(table)) continue;
    tell(table, cells);
    if (getComputedStyle(cells[0][0]).touchAction !== "none") for (const cell of cells.flat()) cell.style.touchAction = "none";
  }
  for (const svg of curves()) if (getComputedStyle(svg).touchAction === "auto") svg.style.touchAction = "pan-y";
}

function stand(table, cells, at, focus) {
  for (const cell of cells.flat()) cell.tabIndex = -1;
  const cell = cells[at.row][at.column];
  cell.tabIndex = 0;
  places.set(table.dataset.load, [at.row, at.column]);
  if (focus) cell.focus({ preventScroll: !stroke?.keys });
}

function begin(table, from, keys) {
  const cells = cellsOf(table);
  const on = !isOn(cells[from.row][from.column]);
  stroke = { table, cells, from, to: from, on, keys, was: cells.map((row) => row.map(isOn)) };
  hand.held.add("part-weeks");
}

// reach draws the block up to a cell; what lay in a larger block before goes back to what it was.
function reach(to) {
  stroke.to = to;
  const block = rectangle(stroke.from, to);
  stroke.cells.forEach((row, i) => row.forEach((cell, j) => {
    const within = inside(block, i, j);
    cell.classList.toggle("chosen", within);
    cell.setAttribute("aria-selected", String(within ? stroke.on : stroke.was[i][j]));
  }));
  tell(stroke.table, stroke.cells);
}

// tell writes how many hours a week are painted beside the grid.
function tell(table, cells) {
  const perDay = Number(table.dataset.perday) || 24;
  const words = `${figure(hoursOf(weekOf(cells), perDay))} h a week`;
  let output = [...document.querySelectorAll("output[data-load]")].find((o) => o.dataset.load === table.dataset.load);
  if (!output) {
    output = document.createElement("output");
    output.className = "hours";
    output.dataset.load = table.dataset.load;
    table.after(output);
  }
  output.textContent = /\d/.test(output.textContent) ? withNumber(output.textContent, words.split(" ")[0]) : words;
  return words;
}

function end(paint, keep) {
  const { table, cells, was } = stroke;
  const done = stroke;
  stroke = null;
  for (const cell of cells.flat()) cell.classList.remove("chosen");
  if (!keep) {
    cells.forEach((row, i) => row.forEach((cell, j) => cell.setAttribute("aria-selected", String(was[i][j]))));
    tell(table, cells);
    letGo("part-weeks");
    say("Given up; nothing was painted.");
    return;
  }
  const words = tell(table, cells);
  const text = cellsText(weekOf(cells));
  const changed = cells.some((row, i) => row.some((cell, j) => isOn(cell) !== was[i][j]));
  letGo("part-weeks");
  if (changed) paint({ load: table.dataset.load, perday: table.dataset.perday || "24", cells: text }, words, done.on);
}

// paintWeeks lets shifts be painted. paint is called with the fields of a painted week when a stroke is over.
export function paintWeeks(paint) {
  paintByPointer(paint);
  document.addEventListener("keydown", (event) => {
    const table = gridOf(event.target);
    const cell = event.target.closest?.("td[data-day]");
    if (table && cell && !event.ctrlKey && !event.altKey && !event.metaKey) keyInGrid(event, table, cell, paint);
    else if (table && cell && event.ctrlKey && /^(Home|End)$/.test(event.key)) keyInGrid(event, table, cell, paint);
    else if (stroke && event.key === "Escape") end(paint, false);
  });
  document.addEventListener("focusout", (event) => {
    if (stroke?.keys && gridOf(event.target) && gridOf(event.relatedTarget || document.body) !== stroke.table) end(paint, false);
  });
}

function paintByPointer(paint) {
  document.addEventListener("pointerdown", (event) => {
    const cell = event.target.closest?.("table.week td[data-day]");
    const table = cell && gridOf(cell);
    if (!cell || event.button !== 0 || !paintable(table)) return;
    if (stroke) end(paint, false);
    event.preventDefault(); // no text is selected by painting
    const cells = cellsOf(table);
    const at = placeOf(cells, cell);
    begin(table, at, false);
    stroke.pointer = event.pointerId;
    cell.setPointerCapture(event.pointerId);
    stand(table, cells, at, true);
    reach(at);
  });
  document.addEventListener("pointermove", (event) => {
    if (!stroke || stroke.pointer !== event.pointerId) return;
    const at = cellUnder(stroke.cells, event);
    if (at && (at.row !== stroke.to.row || at.column !== stroke.to.column)) reach(at);
  });
  const over = (event) => {
    if (!stroke || stroke.pointer !== event.pointerId) return;
    end(paint, event.type === "pointerup");
  };
  document.addEventListener("pointerup", over);
  document.addEventListener("pointercancel", over);
}

// cellUnder is the cell under the pointer, or the nearest one where the pointer has left the grid.
function cellUnder(cells, event) {
  const nearest = (boxes, at, low, high) => {
    let best = 0;
    boxes.forEach((box, i) => {
      if (away(box, at, low, high) < away(boxes[best], at, low, high)) best = i;
    });
    return best;
  };
  const away = (box, at, low, high) => Math.max(box[low] - at, at - box[high], 0);
  const row = nearest(cells.map((r) => r[0].getBoundingClientRect()), event.clientY, "top", "bottom");
  const column = nearest(cells[row].map((c) => c.getBoundingClientRect()), event.clientX, "left", "right");
  return { row, column };
}

// target is where a key leads from a cell, null for a key that leads nowhere.
function target(event, cells, at) {
  const last = cells[at.row].length - 1;
  switch (event.key) {
    case "ArrowLeft": return { row: at.row, column: Math.max(0, at.column - 1) };
    case "ArrowRight": return { row: at.row, column: Math.min(last, at.column + 1) };
    case "ArrowUp": return { row: Math.max(0, at.row - 1), column: at.column };
    case "ArrowDown": return { row: Math.min(cells.length - 1, at.row + 1), column: at.column };
    case "Home": return event.ctrlKey ? { row: 0, column: 0 } : { row: at.row, column: 0 };
    case "End": return event.ctrlKey ? { row: cells.length - 1, column: cells.at(-1).length - 1 } : { row: at.row, column: last };
  }
  return null;
}

function keyInGrid(event, table, cell, paint) {
  const cells = cellsOf(table);
  const at = placeOf(cells, cell);
  if (!at || (stroke && !stroke.keys)) return;
  const to = target(event, cells, at);
  if (to) {
    event.preventDefault();
    if (event.shiftKey && paintable(table)) {
      if (!stroke) begin(table, at, true);
      reach(to);
      const block = rectangle(stroke.from, to);
      say(`${block.bottom - block.top + 1} by ${block.right - block.left + 1} cells to be ${stroke.on ? "painted" : "cleared"}: Enter does it, Escape gives up.`);
    } else if (stroke) end(paint, false);
    stand(table, cells, to, true);
  } else if (event.key === " " || event.key === "Enter") {
    event.preventDefault();
    if (!paintable(table)) return say("This load's hours are not painted here.");
    if (!stroke) {
      begin(table, at, true);
      reach(at);
    }
    end(paint, true);
  } else if (event.key === "Escape" && stroke) {
    event.preventDefault();
    end(paint, false);
  }
}
