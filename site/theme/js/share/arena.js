// The joint search: a branch and bound over the plants' years. Pairs that no setting of some month can meet are pruned
// beforehand; what passes every pair is still checked as a group, month by month.

const NODE_LIMIT = 20000;
const QUICK_NODES = 60;

/** [lift-outs, effort] of a year. */
const cost = (year) => [year.absent.size ? 1 : 0, year.effort];
const less = (a, b) => a[0] < b[0] || (a[0] === b[0] && a[1] < b[1]);
const equal = (a, b) => a[0] === b[0] && a[1] === b[1];
const add = (a, b) => [a[0] + b[0], a[1] + b[1]];

/** Some plants under one regime. plants: [{id, years: [{effort, absent, boxes: [12 boxes or null]}]}], easiest first. */
export class Arena {
  constructor(plants, regime, frame, error) {
    this.regime = regime;
    this.frame = frame;
    this.error = error;
    this.plants = new Map(plants.map((p) => [p.id, p]));
    this._open = new Map();
    this._masks = new Map();
    this._bits = new Map();
  }

  get ids() {
    return [...this.plants.keys()];
  }

  meets(box) {
    return this.frame.feasible(box, this.error);
  }

  serves(ids) {
    return !ids.length || this.search(ids, true).fit !== null;
  }

  /** The easiest way to serve the plants named, or with `first` any way: {fit, finished}. */
  search(ids, first = false) {
    const domains = new Map(ids.map((i) => [i, (1n << BigInt(this.options(i).length)) - 1n]));
    if ([...domains.values()].some((d) => !d)) return { fit: null, finished: true };
    // most groups that can be served are served without going back: then nothing need be pruned beforehand
    let found = this._branch(domains, first, QUICK_NODES);
    const least = ids.map((i) => cost(this.options(i)[0])).reduce(add, [0, this.regime.effort]);
    if (!found.fit || !(first || equal(found.fit.cost, least))) {
      if (!this._consistent(domains)) return { fit: null, finished: true };
      found = this._branch(domains, first, NODE_LIMIT);
    }
    if (found.fit && !first) found.fit = this._settled(ids, found.fit);
    return found;
  }

  /** Years worth trying, easiest first; one away as long and longer at the same cost replaces others. */
  options(plant) {
    let found = this._open.get(plant);
    if (!found) {
      const met = new Map();
      const suits = (box, month) => {
        if (!box) return true;
        const key = box.id * 12 + month;
        if (!met.has(key)) met.set(key, this.meets(this.frame.both(this.regime.boxes[month], box)));
        return met.get(key);
      };
      const alone = this.plants.get(plant).years.filter((y) => y.boxes.every(suits));
      const order = new Map(alone.map((y, k) => [y, k]));
      alone.sort((a, b) => (less(cost(a), cost(b)) ? -1 : less(cost(b), cost(a)) ? 1 : order.get(a) - order.get(b)));
      found = alone.filter((y) => !alone.some((other) => covers(other, y)));
      this._open.set(plant, found);
    }
    return found;
  }

  /** Years of `other`, as bits, that some setting of every month meets together with one option of `plant`. */
  partners(plant, option, other) {
    const key = `${plant} ${option} ${other}`;
    let mask = this._masks.get(key);
    if (mask === undefined) {
      mask = -1n;
      const months = this._byBox(other);
      const boxes = this.options(plant)[option].boxes;
      for (let m = 0; m < 12 && mask; m++) {
        if (!boxes[m]) continue;
        const mine = this.frame.both(this.regime.boxes[m], boxes[m]);
        let met = 0n;
        for (const [partner, bits] of months[m]) {
          if (!partner || this.meets(this.frame.both(mine, partner))) met |= bits;
        }
        mask &= met;
      }
      this._masks.set(key, mask);
    }
    return mask;
  }

  _byBox(plant) {
    let months = this._bits.get(plant);
    if (!months) {
      months = Array.from({ length: 12 }, () => new Map());
      this.options(plant).forEach((year, k) => {
        year.boxes.forEach((box, m) => months[m].set(box, (months[m].get(box) ?? 0n) | (1n << BigInt(k))));
      });
      this._bits.set(plant, months);
    }
    return months;
  }

  /** Remove years without a partner in some other plant until none is left to remove; false when a plant runs out. */
  _consistent(domains) {
    for (let changed = true; changed; ) {
      changed = false;
      for (const [plant, years] of domains) {
        for (const option of ones(years)) {
          for (const [other, theirs] of domains) {
            if (other !== plant && !(this.partners(plant, option, other) & theirs)) {
              domains.set(plant, domains.get(plant) & ~(1n << BigInt(option)));
              changed = true;
              break;
            }
          }
        }
        if (!domains.get(plant)) return false;
      }
    }
    return true;
  }

  _branch(domains, first, limit) {
    const state = { fit: null, finished: true, nodes: 0, best: null, failed: new Set() };
    const go = (open, chosen, months, spent) => {
      if (++state.nodes > limit) {
        state.finished = false;
        return false;
      }
      if (!open.size) {
        state.best = spent;
        const fitCost = [spent[0], spent[1] + this.regime.effort];
        state.fit = { regime: this.regime, years: new Map(chosen), boxes: months, cost: fitCost };
        return true;
      }
      const key = `${[...open.keys()].sort()}|${months.map((b) => b.id)}`;
      if (state.failed.has(key)) return false;
      let plant = null, fewest = Infinity;
      for (const [i, bits] of open) {
        const n = ones(bits).length;
        if (n < fewest || (n === fewest && i < plant)) [plant, fewest] = [i, n];
      }
      const left = new Map([...open].filter(([i]) => i !== plant));
      let met = false;
      for (const option of ones(open.get(plant))) {
        const year = this.options(plant)[option];
        if (state.best) {
          const bound = [...left].map(([i, bits]) => cost(this.options(i)[ones(bits)[0]])).reduce(add, add(spent, cost(year)));
          if (first || !less(bound, state.best)) {
            met = true; // not refuted, only not better: must not be remembered as failed
            break;
          }
        }
        const joined = this._join(months, year);
        if (!joined) continue;
        const narrowed = new Map([...left].map(([i, bits]) => [i, bits & this.partners(plant, option, i)]));
        if ([...narrowed.values()].every(Boolean)) {
          met = go(narrowed, [...chosen, [plant, year]], joined, add(spent, cost(year))) || met;
        }
      }
      if (!met && state.finished) state.failed.add(key);
      return met;
    };
    go(domains, [], this.regime.boxes, [0, 0]);
    return { fit: state.fit, finished: state.finished };
  }

  _join(months, year) {
    const joined = [];
    for (let m = 0; m < 12; m++) {
      const box = year.boxes[m];
      const both = box ? this.frame.both(months[m], box) : months[m];
      if (box && !this.meets(both)) return null;
      joined.push(both);
    }
    return joined;
  }

  /** The same cost with each plant's year as usual as the others allow, in the order of their ids. */
  _settled(ids, fit) {
    const years = new Map(fit.years);
    for (const plant of [...ids].sort()) {
      const others = this._joined([...years].filter(([i]) => i !== plant).map(([, y]) => y));
      for (const year of this.plants.get(plant).years) {
        if (less(cost(years.get(plant)), cost(year))) continue;
        if (year.boxes.every((b, m) => !b || this.meets(this.frame.both(others[m], b)))) {
          years.set(plant, year);
          break;
        }
      }
    }
    return { ...fit, years, boxes: this._joined([...years.values()]) };
  }

  _joined(years) {
    return this.regime.boxes.map((start, m) => years.reduce((whole, y) => (y.boxes[m] ? this.frame.both(whole, y.boxes[m]) : whole), start));
  }
}

/** Some plants under every regime. */
export class Arenas {
  constructor(plants, regimes, frame, error) {
    this.each = regimes.map((regime) => new Arena(plants, regime, frame, error));
    this._served = new Map();
  }

  /** The easiest regime and years: fewest lift-outs, least effort, then the order of the regimes. */
  best(ids) {
    let fit = null, finished = true;
    for (const arena of this.each) {
      if (fit && less(fit.cost, [0, arena.regime.effort])) continue;
      const found = arena.search(ids);
      finished = finished && found.finished;
      if (found.fit && (!fit || less(found.fit.cost, fit.cost))) fit = found.fit;
    }
    return { fit, finished };
  }

  serves(ids) {
    const key = [...ids].sort().join(" ");
    if (!this._served.has(key)) this._served.set(key, !ids.length || this.each.some((a) => a.serves(ids)));
    return this._served.get(key);
  }
}

/** Whether year `other` asks no more than `year` in any month at the same cost, being away where they differ. */
function covers(other, year) {
  if (!(other.absent.size > year.absent.size && [...year.absent].every((m) => other.absent.has(m)))) return false;
  return equal(cost(other), cost(year)) && other.boxes.every((box, m) => !box || box === year.boxes[m]);
}

/** Positions of the bits that are set, lowest first. */
function ones(bits) {
  const found = [];
  for (let n = 0; bits; n++, bits >>= 1n) if (bits & 1n) found.push(n);
  return found;
}
