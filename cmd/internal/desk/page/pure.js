// What the page reckons without touching the page: checked by desk_test.mjs.

// between reads a line of straight pieces at x; beyond its ends it stays level.
export function between(xs, ys, x) {
  if (x <= xs[0]) return ys[0];
  for (let i = 1; i < xs.length; i++) {
    if (x <= xs[i]) {
      const share = (x - xs[i - 1]) / (xs[i] - xs[i - 1]);
      return ys[i - 1] + share * (ys[i] - ys[i - 1]);
    }
  }
  return ys[ys.length - 1];
}

// numbers reads "0,1.5 5": commas or spaces.
export function numbers(text) {
  return (text || "").split(/[\s,]+/).filter((t) => t !== "").map(Number);
}

// figure writes a number as the server does: three digits, or whole from a thousand on, thousands apart.
export function figure(value) {
  if (!Number.isFinite(value)) return "–";
  const size = Math.abs(value);
  const decimals = size >= 100 || size === 0 ? 0 : Math.min(9, Math.max(0, 2 - Math.floor(Math.log10(size))));
  const [whole, part] = size.toFixed(decimals).split(".");
  const digits = whole.replace(/\B(?=(\d{3})+$)/g, "\u202f");
  const rest = part ? part.replace(/0+$/, "") : "";
  const text = rest ? digits + "." + rest : digits;
  return value < 0 && Number(text.replace(/\u202f/g, "")) !== 0 ? "−" + text : text;
}

// withNumber puts a number where a text has its first one: the words round it are the server's.
export function withNumber(text, number) {
  const first = /[-−]?\d(?:[\d\u00a0\u202f\u2009.,]|[ ](?=\d))*/;
  return first.test(text) ? text.replace(first, () => number) : number;
}

// stepped is the value nearest to v on a slider from min to max.
export function stepped(v, min, max, step) {
  const on = step > 0 ? min + Math.round((v - min) / step) * step : v;
  return Number(Math.min(max, Math.max(min, on)).toPrecision(12));
}

// unitOf is what follows the number of a written value: "18 bar(g)" has "bar(g)".
export function unitOf(written) {
  const m = /^\s*[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?\s*(.*?)\s*$/.exec(written || "");
  return m ? m[1] : "";
}

// rectangle is the block of cells between two, the way they were drawn does not matter.
export function rectangle(a, b) {
  return {
    top: Math.min(a.row, b.row), bottom: Math.max(a.row, b.row),
    left: Math.min(a.column, b.column), right: Math.max(a.column, b.column),
  };
}

// inside tells whether a cell lies in a block.
export function inside(r, row, column) {
  return row >= r.top && row <= r.bottom && column >= r.left && column <= r.right;
}

// cellsText writes a week as the server reads it: a row of 0 and 1 for each day, "/" between.
export function cellsText(rows) {
  return rows.map((row) => row.map((on) => (on ? "1" : "0")).join("")).join("/");
}

// hoursOf is how many hours a week are painted; a row of holidays, the eighth, is not of the week.
export function hoursOf(rows, perDay) {
  let slots = 0;
  for (const row of rows.slice(0, 7)) slots += row.filter(Boolean).length;
  return (slots * 24) / perDay;
}

// waitMs is how long to wait before trial n of reaching a server again: 1 s, then twice as long, 30 s at most.
export function waitMs(trial) {
  return Math.min(30000, 1000 * 2 ** Math.max(0, trial));
}

// Line sends one thing at a time, in order. What waits last gives way to a newer thing of the same name, so that a slider
// which moves faster than answers come leaves only its newest place to be sent.
export class Line {
  #waiting = [];
  #busy = null;

  constructor(send, failed) {
    this.send = send;
    this.failed = failed;
  }

  // add takes an item {name, …}; one without a name never gives way. It tells whether the item has not been there already.
  add(item) {
    const last = this.#waiting.at(-1);
    if (last && item.name && last.name === item.name) {
      this.#waiting[this.#waiting.length - 1] = item;
    } else if (!last && this.#busy && item.same && item.same(this.#busy)) {
      return false;
    } else {
      this.#waiting.push(item);
    }
    this.#next();
    return true;
  }

  // waits tells whether anything of a name is still to be sent.
  waits(name) {
    return this.#waiting.some((w) => w.name === name);
  }

  // holds tells whether anything of a name waits or is on its way and not answered.
  holds(name) {
    return (this.#busy?.name === name && !this.#busy.answered) || this.waits(name);
  }

  get idle() {
    return !this.#busy && this.#waiting.length === 0;
  }

  async #next() {
    if (this.#busy || this.#waiting.length === 0) return;
    this.#busy = this.#waiting.shift();
    try {
      await this.send(this.#busy);
    } catch (err) {
      this.failed(err); // what waits behind it is sent all the same
    } finally {
      this.#busy = null;
      this.#next();
    }
  }
}
