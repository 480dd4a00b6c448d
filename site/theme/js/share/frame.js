// One month of one case: boxes of bounds, what two of them leave, and whether one setting meets a box.
// Boxes are interned by value, so that equal boxes are one object and answers are remembered on them.

const INFINITE = 1e9;

export class Frame {
  /** data: `frame` of data/share.json. */
  constructor(data) {
    Object.assign(this, data); // order, differences, stepped, stepErrors, low, high
    this._interned = new Map();
    this._limits = new Map();
    this.open = this.box(data.low, data.high, []);
  }

  box(lows, highs, steps) {
    const key = `${lows}|${highs}|${steps.map((s) => s.id)}`;
    let found = this._interned.get(key);
    if (!found) {
      found = { id: this._interned.size, lows, highs, steps, joined: new Map(), met: new Map() };
      this._interned.set(key, found);
    }
    return found;
  }

  /** A box of the tables: ends in the order of the frame, null where the case's own range holds. */
  read([ends, steps = []]) {
    const n = this.order.length;
    const lows = this.low.map((open, k) => ends[k] ?? open);
    const highs = this.high.map((open, k) => ends[n + k] ?? open);
    return this.box(lows, highs, steps.map((s) => this._limit(s)));
  }

  _limit(steps) {
    const key = JSON.stringify(steps);
    if (!this._limits.has(key)) this._limits.set(key, { id: this._limits.size, steps });
    return this._limits.get(key);
  }

  both(a, b) {
    if (a === b) return a;
    let found = a.joined.get(b.id);
    if (!found) {
      found = within(a, b) ? a : within(b, a) ? b : this._joined(a, b);
      a.joined.set(b.id, found);
    }
    return found;
  }

  _joined(a, b) {
    return this.box(
      a.lows.map((low, k) => Math.max(low, b.lows[k])),
      a.highs.map((high, k) => Math.min(high, b.highs[k])),
      [...a.steps, ...b.steps.filter((s) => !a.steps.includes(s))].sort((s, t) => s.id - t.id),
    );
  }

  /** Every bound as tight as the couplings make it. */
  tightened(box) {
    const lows = [...box.lows], highs = [...box.highs];
    for (const [left, right, result] of this.differences) {
      lows[left] = Math.max(lows[left], lows[right] + lows[result]);
      highs[left] = Math.min(highs[left], highs[right] + highs[result]);
      lows[right] = Math.max(lows[right], lows[left] - highs[result]);
      highs[right] = Math.min(highs[right], highs[left] - lows[result]);
      lows[result] = Math.max(lows[result], lows[left] - highs[right]);
      highs[result] = Math.min(highs[result], highs[left] - lows[right]);
    }
    return { lows, highs, steps: box.steps };
  }

  /** Whether one setting meets the box; error: share of the control error that falling limits keep clear. */
  feasible(box, error) {
    let met = box.met.get(error);
    if (met === undefined) {
      met = this._feasible(box, error);
      box.met.set(error, met);
    }
    return met;
  }

  /** The same of what two boxes leave, which is made only where falling limits must be looked at. */
  together(a, b, error) {
    if (!this._open(a, b)) return false;
    return (!a.steps.length && !b.steps.length) || this.feasible(this.both(a, b), error);
  }

  /** Whether two boxes leave something between every lower and upper end, couplings heeded. */
  _open(a, b) {
    for (let k = 0; k < a.lows.length; k++) {
      if (Math.max(a.lows[k], b.lows[k]) > Math.min(a.highs[k], b.highs[k])) return false;
    }
    for (const [left, right, result] of this.differences) {
      const most = Math.min(a.highs[left], b.highs[left]) - Math.max(a.lows[right], b.lows[right]);
      const least = Math.max(a.lows[left], b.lows[left]) - Math.min(a.highs[right], b.highs[right]);
      if (most < Math.max(a.lows[result], b.lows[result])) return false;
      if (least > Math.min(a.highs[result], b.highs[result])) return false;
    }
    return true;
  }

  _feasible(box, error) {
    if (!this._open(box, box)) return false;
    if (!box.steps.length) return true;
    const tight = this.tightened(box);
    const day = tight.lows[this.stepped[0]], night = tight.lows[this.stepped[1]];
    const [offDay, offNight] = this.stepErrors;
    return box.steps.every(({ steps }) => day + offDay * error <= dayLimit(steps, night + offNight * error));
  }

  /** Why parts [[label, box]…] cannot be met together: [{axis, labels, gap}], empty when they can. */
  clashes(parts, error) {
    let whole = this.open;
    for (const [, box] of parts) whole = this.both(whole, box);
    const found = [];
    // ties go to the label that is last in order for lower ends, first for upper ones
    const lowest = (n) => parts.map(([l, b]) => [b.lows[n], l]).reduce((a, b) => (after(b, a) ? b : a));
    const highest = (n) => parts.map(([l, b]) => [b.highs[n], l]).reduce((a, b) => (after(a, b) ? b : a));
    const names = (...labels) => [...new Set(labels)].sort();
    const add = (axis, labels, gap) => gap > 0 && found.push({ axis, labels, gap });
    this.order.forEach((axis, n) => {
      add(axis, names(lowest(n)[1], highest(n)[1]), whole.lows[n] - whole.highs[n]);
    });
    for (const [left, right, result] of this.differences) {
      const short = whole.lows[result] - (whole.highs[left] - whole.lows[right]);
      add(this.order[result], names(highest(left)[1], lowest(right)[1], lowest(result)[1]), short);
      const wide = whole.lows[left] - whole.highs[right] - whole.highs[result];
      add(this.order[result], names(lowest(left)[1], highest(right)[1], highest(result)[1]), wide);
    }
    if (!found.length && whole.steps.length) this._steppedClashes(parts, error, whole, lowest, highest, names, add);
    return found;
  }

  _steppedClashes(parts, error, whole, lowest, highest, names, add) {
    const tight = this.tightened(whole);
    const day = tight.lows[this.stepped[0]], night = tight.lows[this.stepped[1]];
    const [offDay, offNight] = this.stepErrors;
    const owners = [];
    for (const n of this.stepped) {
      if (whole.lows[n] === tight.lows[n]) {
        owners.push(lowest(n)[1]);
        continue;
      }
      for (const [left, right, result] of this.differences) {
        if (n === left && whole.lows[right] + whole.lows[result] === tight.lows[n]) {
          owners.push(lowest(right)[1], lowest(result)[1]);
        } else if (n === right && whole.lows[left] - whole.highs[result] === tight.lows[n]) {
          owners.push(lowest(left)[1], highest(result)[1]);
        }
      }
    }
    for (const [label, box] of parts) {
      for (const { steps } of box.steps) {
        const over = day + offDay * error - dayLimit(steps, night + offNight * error);
        add("day_limit_by_night", names(label, ...owners), over);
      }
    }
  }

  /** One checked setting that meets the box, as near as it can to the middle of `wish`: {axis: value}, or null. */
  setPoint(box, wish, error) {
    if (!this.feasible(box, error)) return null;
    const tight = this.tightened(box);
    const target = wish && this.feasible(wish, error) ? this.tightened(wish) : tight;
    const point = tight.lows.map((a, k) => {
      const b = tight.highs[k], c = target.lows[k], d = target.highs[k];
      const low = Math.max(a, c), high = Math.min(b, d);
      return clip(neat(low <= high ? middle(low, high) : clip(middle(c, d), a, b)), a, b);
    });
    for (const [left, right, result] of this.differences) {
      point[left] = clip(
        point[left],
        Math.max(tight.lows[left], point[right] + tight.lows[result]),
        Math.min(tight.highs[left], point[right] + tight.highs[result]),
      );
      point[result] = point[left] - point[right];
    }
    if (!this._meets(point, box, error)) {
      // the middle of a thin strip may break a falling limit; the least point of the system cannot
      for (const [left, right, result] of this.differences) {
        point[left] = tight.lows[left];
        point[right] = tight.lows[right];
        point[result] = point[left] - point[right];
      }
    }
    if (!this._meets(point, box, error)) return null;
    return Object.fromEntries(this.order.map((axis, k) => [axis, Math.round(point[k] * 100) / 100]));
  }

  _meets(point, box, error) {
    const near = 1e-6;
    if (!point.every((p, k) => box.lows[k] - near <= p && p <= box.highs[k] + near)) return false;
    if (!this.stepped) return true;
    const [day, night] = this.stepped.map((n) => point[n]);
    const [offDay, offNight] = this.stepErrors;
    return box.steps.every(({ steps }) => day + offDay * error <= dayLimit(steps, night + offNight * error) + near);
  }
}

/** Whether a asks all that b asks. */
function within(a, b) {
  for (let k = 0; k < a.lows.length; k++) if (a.lows[k] < b.lows[k] || a.highs[k] > b.highs[k]) return false;
  return b.steps.every((s) => a.steps.includes(s));
}

/** The highest day allowed after a night; past the last step the last limit holds. */
function dayLimit(steps, night) {
  for (const [warm, limit] of steps) if (night <= warm) return limit;
  return steps[steps.length - 1][1];
}

function middle(low, high) {
  if (low <= -INFINITE) return high < INFINITE ? high : 0;
  return high >= INFINITE ? low : (low + high) / 2;
}

const clip = (value, low, high) => Math.min(Math.max(value, low), high);

/** A figure that a thermostat or timer can be set to: halves, ties to the even one. */
function neat(value) {
  const twice = value * 2, floor = Math.floor(twice), rest = twice - floor;
  const whole = rest > 0.5 || (rest === 0.5 && floor % 2 !== 0) ? floor + 1 : floor;
  return whole / 2;
}

/** Whether [value, label] a comes after b. */
const after = (a, b) => a[0] > b[0] || (a[0] === b[0] && a[1] > b[1]);
