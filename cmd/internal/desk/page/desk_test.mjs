// Checks of pure.js by node's own runner: node --test desk_test.mjs. TestDeskScript calls it.
import test from "node:test";
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";

// As a data address, since node of this age takes a .js file beside no package.json for another kind of module.
const source = await readFile(new URL("pure.js", import.meta.url), "utf8");
const p = await import("data:text/javascript;base64," + Buffer.from(source).toString("base64"));

test("between reads straight pieces and stays level beyond", () => {
  const xs = [0, 10, 30], ys = [0, 100, 140];
  for (const [x, want] of [[-5, 0], [0, 0], [5, 50], [10, 100], [20, 120], [30, 140], [99, 140]]) {
    assert.equal(p.between(xs, ys, x), want);
  }
});

test("figures have three digits, thousands apart", () => {
  for (const [v, want] of [[0, "0"], [12.34, "12.3"], [0.01234, "0.0123"], [12345, "12\u202f345"], [-1234567, "−1\u202f234\u202f567"], [40, "40"], [999, "999"], [-0.0, "0"]]) {
    assert.equal(p.figure(v), want);
  }
  assert.equal(p.figure(NaN), "–");
});

test("a number is changed within its words", () => {
  assert.equal(p.withNumber("saves 12\u202f300 EUR a year", "400"), "saves 400 EUR a year");
  assert.equal(p.withNumber("−3.5 m³", "8"), "8 m³");
  assert.equal(p.withNumber("", "8"), "8");
});

test("a slider's value lies on its steps", () => {
  assert.equal(p.stepped(7.26, 0, 120, 0.5), 7.5);
  assert.equal(p.stepped(-3, 0, 120, 0.5), 0);
  assert.equal(p.stepped(500, 0, 120, 0.5), 120);
  assert.equal(p.stepped(0.30000000000000004, 0, 1, 0.1), 0.3);
});

test("the unit is what follows the number", () => {
  for (const [s, want] of [["18 bar(g)", "bar(g)"], ["40 m3", "m3"], ["30", ""], ["0.05 EUR/kWh", "EUR/kWh"], ["", ""], ["forty", ""]]) {
    assert.equal(p.unitOf(s), want);
  }
});

test("a block is the same whichever way it was drawn", () => {
  const a = { row: 5, column: 2 }, b = { row: 1, column: 9 };
  assert.deepEqual(p.rectangle(a, b), p.rectangle(b, a));
  const r = p.rectangle(a, b);
  assert.ok(p.inside(r, 3, 5) && p.inside(r, 1, 2) && p.inside(r, 5, 9));
  assert.ok(!p.inside(r, 0, 5) && !p.inside(r, 3, 10));
});

test("a week is written as rows, and holidays are not of its hours", () => {
  const days = Array.from({ length: 8 }, () => [true, false, true, true]);
  assert.equal(p.cellsText(days), Array(8).fill("1011").join("/"));
  assert.equal(p.hoursOf(days, 4), 7 * 3 * 6);
});

test("trials wait longer and longer, 30 s at most", () => {
  assert.deepEqual([0, 1, 2, 5, 50].map(p.waitMs), [1000, 2000, 4000, 30000, 30000]);
});

test("the line keeps order, and of one name only the newest waits", async () => {
  const sent = [], open = [];
  const line = new p.Line((item) => { sent.push(item.v); return new Promise((done) => open.push(done)); });
  const add = (v, name) => line.add({ v, name });
  for (const [v, name] of [[1, "a"], [2, "a"], [3, "a"], [4], [5], [6, "a"], [7, "a"]]) add(v, name);
  assert.deepEqual(sent, [1]);
  assert.ok(line.holds("a") && line.waits("a") && !line.idle);
  for (let i = 0; i < 5; i++) {
    open[i]();
    await new Promise(setImmediate);
  }
  assert.deepEqual(sent, [1, 3, 4, 5, 7]);
  assert.ok(line.idle && !line.holds("a"));
});

test("what is on its way already is not sent twice", async () => {
  const sent = [];
  const line = new p.Line((item) => { sent.push(item.v); return new Promise((done) => setImmediate(done)); });
  const item = (v) => ({ v, name: "a", same: (other) => other.v === v });
  assert.equal(line.add(item(1)), true);
  assert.equal(line.add(item(1)), false);
  assert.equal(line.add(item(2)), true);
  await new Promise((done) => setTimeout(done, 20));
  assert.deepEqual(sent, [1, 2]);
});

test("one that fails is told of and does not stop the line", async () => {
  const sent = [], told = [];
  const send = async (item) => { sent.push(item.v); if (item.v === 1) throw new Error("no"); };
  const line = new p.Line(send, (err) => told.push(err.message));
  line.add({ v: 1 });
  line.add({ v: 2 });
  await new Promise((done) => setTimeout(done, 10));
  assert.deepEqual([sent, told], [[1, 2], ["no"]]);
});
