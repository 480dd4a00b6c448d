// The joint search: a branch and bound over the plants' years, each with its cost [lift-outs, effort]. Pairs that no
// setting of some month can meet are pruned beforehand; what passes every pair is still checked as a group, month by month.

const NODE_LIMIT = 20000;
const QUICK_NODES = 60;

const less = (a, b) => a[0] < b[0] || (a[0] === b[0] && a[1] < b[1]);
const equal = (a, b) => a[0] === b[0] && a[1] === b[1];
const add = (a, b) => [a[0] + b[0], a[1] + b[1]];

/** What can be known of years under one regime before any group is named; remembered from one question to the next. */
export class Yearbook {
  constructor(regime, frame, error) {
    this.regime = regime;
    this.frame = frame;
    this.error = error;
    this._alone = regime.boxes.map((box, m) => (m && box === regime.boxes[m - 1] ? null : new Map()));
    this._alone.forEach((known, m) => { this._alone[m] = known ?? this._alone[m - 1]; });
    this._open = new Map();
    this._months = new Map();
    this._pairs = new Map();
  }

  meets(box) {
    return this.frame.feasible(box, this.error);
  }

  /** Years worth trying under the regime, easiest first. */
  options(years) {
    let found = this._open.get(years);
    if (!found) {
      const alone = tried(years).filter((y) => y.boxes.every((box, m) => !box || this.suits(m, box)));
      found = alone.map(({ cost, boxes }, place) => ({ cost, boxes, place, partners: new Map() }));
      this._open.set(years, found);
    }
    return found;
  }

  suits(m, box) {
    const known = this._alone[m];
    let suits = known.get(box);
    if (suits === undefined) {
      suits = this.frame.together(this.regime.boxes[m], box, this.error);
      known.set(box, suits);
    }
    return suits;
  }

  /** Whether some option of one meets some option of the other. */
  meet(years, other) {
    let known = this._pairs.get(years);
    if (!known) this._pairs.set(years, (known = new Map()));
    let met = known.get(other);
    if (met === undefined) {
      met = this.options(years).some((option) => this.partners(option, other).includes(1));
      known.set(other, met);
    }
    return met;
  }

  /** For each option of `other`: 1 where some setting of every month meets it together with `option`. */
  partners(option, other) {
    let mask = option.partners.get(other);
    if (!mask) {
      mask = new Uint8Array(this.options(other).length).fill(1);
      const months = this._byBox(other);
      for (let m = 0; m < 12; m++) {
        const box = option.boxes[m];
        if (!box) continue;
        for (const place of this._refused(months[m], m, box)) mask[place] = 0;
      }
      option.partners.set(other, mask);
    }
    return mask;
  }

  /** Places of the options that a box cannot be met with in a month. */
  _refused({ asked, refused }, m, box) {
    let places = refused.get(box);
    if (!places) {
      const mine = this.frame.both(this.regime.boxes[m], box);
      places = [];
      for (const [theirs, at] of asked) if (!this.frame.together(mine, theirs, this.error)) places.push(...at);
      refused.set(box, places);
    }
    return places;
  }

  /** Each month's boxes among the options, with the places of those that ask it. */
  _byBox(years) {
    let months = this._months.get(years);
    if (!months) {
      months = Array.from({ length: 12 }, () => ({ asked: new Map(), refused: new Map() }));
      for (const { boxes, place } of this.options(years)) {
        boxes.forEach((box, m) => {
          if (!box) return;
          const { asked } = months[m];
          if (!asked.has(box)) asked.set(box, []);
          asked.get(box).push(place);
        });
      }
      this._months.set(years, months);
    }
    return months;
  }
}

/** Some plants under one regime. plants: [{id, years}], years as `Knowledge.candidate` makes them, easiest first. */
class Arena {
  constructor(plants, book) {
    this.book = book;
    this.plants = new Map(plants.map((p) => [p.id, p]));
  }

  get ids() {
    return [...this.plants.keys()];
  }

  options(plant) {
    return this.book.options(this.plants.get(plant).years);
  }

  serves(ids) {
    return !ids.length || this.search(ids, true).fit !== null;
  }

  /** The easiest way to serve the plants named, or with `first` any way: {fit, finished}. */
  search(ids, first = false) {
    const least = this.least(ids);
    if (!least) return { fit: null, finished: true };
    if (!this._pairwise(ids)) return { fit: null, finished: true };
    const domains = new Map(ids.map((i) => [i, this.options(i)]));
    // most groups that can be served are served without going back: then nothing need be pruned beforehand
    let found = this._branch(domains, first, QUICK_NODES);
    if (!found.fit || !(first || equal(found.fit.cost, least))) {
      if (!this._consistent(domains)) return { fit: null, finished: true };
      found = this._branch(domains, first, NODE_LIMIT);
    }
    if (found.fit && !first) found.fit = this._settled(ids, found.fit);
    return found;
  }

  /** What no way to serve the plants together can cost less than; null where one cannot be served even alone. */
  least(ids) {
    const first = ids.map((i) => this.options(i)[0]);
    return first.every(Boolean) ? first.reduce((sum, year) => add(sum, year.cost), [0, this.book.regime.effort]) : null;
  }

  _partners(option, other) {
    return this.book.partners(option, this.plants.get(other).years);
  }

  /** Whether every two of them meet. */
  _pairwise(ids) {
    const years = ids.map((i) => this.plants.get(i).years);
    return years.every((one, n) => years.every((other, k) => k <= n || this.book.meet(one, other)));
  }

  /** Remove years without a partner in some other plant until none is left to remove; false when a plant runs out. */
  _consistent(domains) {
    for (let changed = true; changed; ) {
      changed = false;
      for (const [plant, years] of domains) {
        const kept = years.filter((option) => {
          for (const [other, theirs] of domains) {
            if (other === plant) continue;
            const mask = this._partners(option, other);
            if (!theirs.some((y) => mask[y.place])) return false;
          }
          return true;
        });
        if (!kept.length) return false;
        if (kept.length < years.length) {
          domains.set(plant, kept);
          changed = true;
        }
      }
    }
    return true;
  }

  _branch(domains, first, limit) {
    const { regime, frame } = this.book;
    const state = { fit: null, finished: true, nodes: 0, best: null, failed: new Set() };
    const go = (open, chosen, months, spent) => {
      if (++state.nodes > limit) {
        state.finished = false;
        return false;
      }
      if (!open.size) {
        state.best = spent;
        state.fit = { regime, years: new Map(chosen), boxes: months, cost: add(spent, [0, regime.effort]) };
        return true;
      }
      const key = `${[...open.keys()].sort()}|${months.map((b) => b.id)}`;
      if (state.failed.has(key)) return false;
      let plant = null;
      for (const [i, years] of open) {
        const fewer = plant === null ? -1 : years.length - open.get(plant).length;
        if (fewer < 0 || (fewer === 0 && i < plant)) plant = i;
      }
      const left = [...open].filter(([i]) => i !== plant);
      let met = false;
      for (const year of open.get(plant)) {
        if (state.best) {
          const bound = left.reduce((sum, [, years]) => add(sum, years[0].cost), add(spent, year.cost));
          if (first || !less(bound, state.best)) {
            met = true; // not refuted, only not better: must not be remembered as failed
            break;
          }
        }
        const joined = join(frame, months, year, (box) => this.book.meets(box));
        if (!joined) continue;
        const narrowed = new Map();
        for (const [i, years] of left) {
          const mask = this._partners(year, i);
          const kept = years.filter((y) => mask[y.place]);
          if (!kept.length) break;
          narrowed.set(i, kept);
        }
        if (narrowed.size === left.length) {
          met = go(narrowed, [...chosen, [plant, year]], joined, add(spent, year.cost)) || met;
        }
      }
      if (!met && state.finished) state.failed.add(key);
      return met;
    };
    go(domains, [], regime.boxes, [0, 0]);
    return { fit: state.fit, finished: state.finished };
  }

  /** The same cost with each plant's year as usual as the others allow, in the order of their ids. */
  _settled(ids, fit) {
    const years = new Map(fit.years);
    for (const plant of [...ids].sort()) {
      const others = this._joined([...years].filter(([i]) => i !== plant).map(([, y]) => y));
      const usual = this.plants.get(plant).years.find(
        (year) => !less(years.get(plant).cost, year.cost) && join(this.book.frame, others, year, (box) => this.book.meets(box)),
      );
      if (usual) years.set(plant, usual);
    }
    return { ...fit, years, boxes: this._joined([...years.values()]) };
  }

  _joined(years) {
    return years.reduce((months, year) => join(this.book.frame, months, year, () => true), this.book.regime.boxes);
  }
}

/** Months with one more year in them, or null where `meets` refuses a month. */
function join(frame, months, year, meets) {
  const joined = [];
  for (let m = 0; m < 12; m++) {
    const box = year.boxes[m];
    const both = box ? frame.both(months[m], box) : months[m];
    if (box && !meets(both)) return null;
    joined.push(both);
  }
  return joined;
}

/** Some plants under every regime. */
export class Arenas {
  constructor(plants, books) {
    this.each = books.map((book) => new Arena(plants, book));
    this._served = new Map();
  }

  /** The easiest regime and years: fewest lift-outs, least effort, then the order of the regimes. */
  best(ids) {
    let fit = null, finished = true;
    for (const arena of this.each) {
      if (fit && !less(arena.least(ids) ?? fit.cost, fit.cost)) continue;
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

const TRIED = new WeakMap();

/** Years easiest first; one away as long and longer at the same cost replaces others, under whatever regime. */
function tried(years) {
  let found = TRIED.get(years);
  if (!found) {
    found = years.filter((y) => !years.some((other) => covers(other, y)));
    found.sort((a, b) => (less(a.cost, b.cost) ? -1 : less(b.cost, a.cost) ? 1 : 0));
    TRIED.set(years, found);
  }
  return found;
}

/** Whether year `other` asks no more than `year` in any month at the same cost, being away where they differ. */
function covers(other, year) {
  if (!(other.absent.size > year.absent.size && equal(other.cost, year.cost))) return false;
  if (!other.boxes.every((box, m) => !box || box === year.boxes[m])) return false;
  return [...year.absent].every((m) => other.absent.has(m));
}
