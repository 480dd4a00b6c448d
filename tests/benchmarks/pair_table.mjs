// Every pair of many plants judged alone: what holds of one plant is found once, plants that ask and do the same with
// water, light and neighbours share it, and only pairs that this does not settle are judged by judge() itself.
// Arguments: folder of the page's modules, file of data, number of plants, number of pairs to hold against judge().

import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [folder, file, count, sample] = process.argv.slice(2);
const module = (name) => import(`${pathToFileURL(folder)}/${name}.js`);
const [{ Knowledge, ofYear }, { VERDICTS, judge, neighbours }, { beds }] =
  [await module("knowledge"), await module("judge"), await module("beds")];
const data = made(JSON.parse(readFileSync(file, "utf8")), Number(count));
const knowledge = new Knowledge(data);
const NONE = data.errors.length;
const rank = (verdict) => VERDICTS.indexOf(verdict);
const less = (a, b) => a[0] < b[0] || (a[0] === b[0] && a[1] < b[1]);
const paired = (a, b) => [a[0] + b[0], a[1] + b[1]];
const slow = (a, b) => judge(knowledge, [a.id, b.id], false).verdict;

const begun = performance.now(), used = process.cpuUsage();
const weights = data.sets.map((set) => Math.max(0, ...set.map((n) => rank(data.findings[n].weight))));
const open = data.sets.map((set) => set.some((n) => {
  const { certain, holdsBack, disputed } = data.findings[n];
  return (!certain || holdsBack) && !disputed;
}));
const kinds = { traits: new Map(), water: new Map() };
const known = { traits: new Map(), water: new Map() };
const plants = data.plants.map(({ id }) => prepared(id));
const table = [];
const ways = { easiest: 0, searched: 0, never: 0, judged: 0 };
plants.forEach((a, n) => table.push(Uint8Array.from(plants.slice(0, n), (b) => rank(outcome(a, b)))));
const took = performance.now() - begun, { user, system } = process.cpuUsage(used);

const random = seeded(9);
let held = 0;
for (let k = 0; k < Number(sample); k++) {
  const n = 1 + Math.floor(random() * (plants.length - 1)), m = Math.floor(random() * n);
  if (VERDICTS[table[n][m]] !== slow(plants[n], plants[m])) throw new Error(`${plants[n].id} + ${plants[m].id} differ`);
  held++;
}
const verdicts = Object.fromEntries(VERDICTS.map((word) => [word, 0]));
table.forEach((row) => row.forEach((verdict) => verdicts[VERDICTS[verdict]]++));
console.log(JSON.stringify({ seconds: took / 1000, cpu: (user + system) / 1e6, held, verdicts, ways,
  pairs: plants.length * (plants.length - 1) / 2, mb: process.memoryUsage().rss / 1e6 }));

/** What holds of a plant whoever stands beside it. easiest: by level and regime its least cost, the boxes a search tries
 * first, and the most usual year of that cost.
 */
function prepared(id) {
  const asking = knowledge.asking(id);
  const { ask, traits } = asking;
  const years = Array.from({ length: 2 * NONE }, (_, level) => knowledge.candidate(asking, level).years);
  const easiest = data.errors.map((_, level) => knowledge.books[level].map((book) => {
    const [option] = book.options(years[level]);
    if (!option) return null;
    const usual = years[level].find((year) => (
      !less(option.cost, year.cost) && year.boxes.every((box, m) => !box || book.suits(m, box))));
    return { cost: option.cost, tried: option.boxes, year: usual };
  }));
  return {
    id, asking, years, easiest, known: ask.known, traits: interned(kinds.traits, traits.join()),
    disputes: Boolean(knowledge.plant(id).disputes), light: ask.light && [ask.light[0] ?? -1e9, ask.light[1] ?? Infinity],
  };
}

function interned(places, key) {
  if (!places.has(key)) places.set(key, places.size);
  return places.get(key);
}

/** The verdict that judge() gives two plants. */
function outcome(a, b) {
  const near = beside(a, b);
  const found = settled(a, b);
  if (!found || ((found.open || near.open) && (a.disputes || b.disputes))) {
    ways.judged++;
    return slow(a, b);
  }
  ways[found.way]++;
  return VERDICTS[Math.max(found.weight, near.weight)];
}

/** What neighbours of these traits do to each other. */
function beside(a, b) {
  const key = a.traits * 65536 + b.traits;
  let met = known.traits.get(key);
  if (!met) {
    const findings = neighbours(knowledge, [a.asking, b.asking]);
    met = {
      weight: Math.max(0, ...findings.map((f) => rank(f.weight))),
      open: findings.some((f) => (!f.certain || f.holdsBack) && !f.disputed),
    };
    known.traits.set(key, met);
  }
  return met;
}

/** Findings at the strictest level that serves both; a search is begun only where no other way tells. */
function settled(a, b) {
  for (let level = 0; level < NONE; level++) {
    const best = easiest(a, b, level);
    if (best === undefined) continue;
    const years = best && usual(a, b, best);
    if (years) return told("easiest", sets(a, b, level, years));
    const { fit, finished } = knowledge.arenas([a.asking, b.asking], level).best([a.id, b.id]);
    if (!finished) return null;
    if (fit) return told("searched", sets(a, b, level, [fit.years.get(a.id), fit.years.get(b.id)]));
  }
  return told("never", [a.known, b.known, data.group[[possible(a, b, NONE), NONE, 0, 0, lit(a, b), 0].join()]]);
}

/** Of years that cost the same the most usual are taken, for the plant that comes first by its id before the other. */
function usual(a, b, { book, one, other }) {
  const [first, second] = a.id < b.id ? [one, other] : [other, one];
  if (first.tried !== first.year.boxes && !meet(book, first.year.boxes, second.tried)) return null;
  if (second.tried !== second.year.boxes && !meet(book, first.year.boxes, second.year.boxes)) return null;
  return [one.year, other.year];
}

/** Sets of findings on both in their years and on the two as a group. */
function sets(a, b, level, [one, other]) {
  const { several, own } = watered(a, one, b, other);
  const lifted = Number(one.absent.size > 0 || other.absent.size > 0);
  const group = data.group[[possible(a, b, level), level, lifted, several, lit(a, b), 0].join()];
  return [setOf(a, one, own[0]), setOf(b, other, own[1]), group];
}

/** The easiest regime, if the years tried first are met in each that is asked and serves both at all; undefined where none
 * does, null where only a search can tell.
 */
function easiest(a, b, level) {
  let best;
  for (const [r, book] of knowledge.books[level].entries()) {
    const one = a.easiest[level][r], other = b.easiest[level][r];
    if (!one || !other) continue;
    const cost = paired(paired(one.cost, other.cost), [0, book.regime.effort]);
    if (best && !less(cost, best.cost)) continue;
    if (meet(book, one.tried, other.tried)) best = { book, one, other, cost };
    else if (book.meet(a.years[level], b.years[level])) return null;
  }
  return best;
}

/** The strictest level at which both could be served at best. */
function possible(a, b, most) {
  for (let level = 0; level < most; level++) {
    const at = NONE + level;
    if (knowledge.books[at].some((book) => book.meet(a.years[at], b.years[at]))) return level;
  }
  return most;
}

/** Whether two years of boxes can be met together. */
function meet({ regime, error }, some, others) {
  const { frame } = knowledge;
  for (let m = 0; m < 12; m++) {
    const mine = some[m], theirs = others[m], whole = regime.boxes[m];
    if (!mine || !theirs || (m && mine === some[m - 1] && theirs === others[m - 1] && whole === regime.boxes[m - 1])) continue;
    if (!frame.together(frame.both(whole, mine), theirs, error)) return false;
  }
  return true;
}

function setOf({ asking }, year, own) {
  return ofYear(own ? asking.ask.own : asking.ask.shared, year.number);
}

function told(way, sets) {
  return { way, weight: Math.max(...sets.map((set) => weights[set])), open: sets.some((set) => open[set]) };
}

/** 1 where the dimmest light of one is more than the brightest of the other. */
function lit({ light: a }, { light: b }) {
  return Number(Boolean(a && b) && (a[0] > b[1] || b[0] > a[1]));
}

/** Whether they have waters apart, and who then has the second; plants alike in this share it. */
function watered(a, yearA, b, yearB) {
  const kind = (plant, year) => (year.water ??= interned(kinds.water,
    `${ofYear(plant.asking.ask.water, year.number)} ${year.phases.map((p, m) => (year.absent.has(m) ? "-" : plant.asking.ask.phases[p].wet))}`));
  const key = (kind(a, yearA) * 65536 + kind(b, yearB)) * 2 + Number(a.id < b.id);
  let found = known.water.get(key);
  if (!found) {
    const made = beds([{ asking: a.asking, year: yearA }, { asking: b.asking, year: yearB }], data.moisture);
    const second = made.slice(1).flat();
    found = { several: Number(made.length > 1), own: [second.includes(a.id), second.includes(b.id)] };
    known.water.set(key, found);
  }
  return found;
}

/** Knowledge of as many invented plants, each a known one with its air, light and humidity shifted. */
function made(source, many) {
  const random = seeded(4);
  const any = (list) => list[Math.floor(random() * list.length)];
  const profiled = source.plants.filter((plant) => plant.known === "profile");
  const boxes = [...source.boxes], asks = [...source.asks], places = new Map();
  const shifted = (place, by) => {
    const [ends, ...steps] = source.boxes[place];
    const moved = [ends.map((end, k) => (end === null ? null : end + by[k % by.length])),
      ...steps.map((limits) => limits.map((limit) => limit.map((pair) => pair.map((t) => t + by[0]))))];
    const key = JSON.stringify(moved);
    if (!places.has(key)) places.set(key, boxes.push(moved) - 1);
    return places.get(key);
  };
  const asked = (one, by) => {
    const ask = source.asks[one.ask];
    const phases = ask.phases.map((phase) => (
      { ...phase, boxes: phase.boxes.map((box) => shifted(box, by)), wish: shifted(phase.wish, by) }));
    return { ...one, ask: asks.push({ ...ask, phases }) - 1 };
  };
  const plants = Array.from({ length: many }, (_, n) => {
    const warmer = any([-4, -2, -1, 1, 2, 4]);
    const by = [warmer, warmer, any([-1, 0, 1]), any([-5, 0, 5]), 0]; // day, night, hours of light, humidity, drop
    const plant = any(profiled), id = `made/${String(n).padStart(4, "0")}`;
    return { ...asked(plant, by), id, name: id, ...(plant.readings && { readings: plant.readings.map((one) => asked(one, by)) }) };
  });
  return { ...source, boxes, asks, plants };
}

function seeded(state) {
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
