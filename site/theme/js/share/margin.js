// How much room a fit leaves: how many times what a grower's control misses by its plants' bounds could give way.
// The same as sharing/margins.py: change both together.

const MOST_TENTHS = 400; // wider than any settable range: what still holds there is bound by nothing that a plant asks
const HALF = 1; // the level at half the control error, in knowledge.data.errors; the level before it is at the whole

/** chosen: [{asking, year}], with the years of a fit found at `level`; movers: ids of those whose ends move.
 * Returns {errors, axis, months}: errors in whole tenths, null where nothing binds.
 */
export function margin(knowledge, chosen, fit, level, movers) {
  const { frame } = knowledge;
  const alike = seasons(chosen, fit);
  const breaks = (tenths) => !alike.every((season) => holds(knowledge, season, movers, tenths / 10, level));
  let first = 0;
  for (let end = MOST_TENTHS; first < end; ) {
    const middle = Math.floor((first + end) / 2);
    if (breaks(middle)) end = middle;
    else first = middle + 1;
  }
  if (first === MOST_TENTHS) return { errors: null, axis: "", months: [] };
  const found = alike.flatMap((season) => {
    const parts = boxes(knowledge, season, movers, first / 10, level).map((box, n) => [
      ["moved", "kept"][n], frame.box(box.lows, box.highs, box.steps)]);
    return frame.clashes(parts, first / 10).map(({ axis }) => ({ axis, months: season.months }));
  });
  const { axis } = found[0];
  const months = new Set(found.filter((one) => one.axis === axis).flatMap((one) => one.months));
  return { errors: (first - 1) / 10, axis, months: [...months].sort((a, b) => a - b) };
}

/** The months in which the regime and every plant ask the same, in order of their first month. */
function seasons(chosen, { regime }) {
  const found = new Map();
  regime.boxes.forEach((box, m) => {
    const present = chosen.filter(({ year }) => !year.absent.has(m)).map(({ asking, year }) => (
      { id: asking.id, phase: year.phases[m], places: asking.ask.phases[year.phases[m]].boxes }));
    const key = `${box.id} ${present.map(({ id, phase }) => `${id}:${phase}`)}`;
    if (found.has(key)) found.get(key).months.push(m);
    else found.set(key, { months: [m], regime: box, present });
  });
  return [...found.values()];
}

function holds(knowledge, season, movers, error, level) {
  const { frame } = knowledge;
  const [moved, kept] = boxes(knowledge, season, movers, error, level);
  const whole = both(moved, kept);
  const met = (steps, share) => frame.feasible({ ...whole, steps, met: new Map() }, share);
  // day limits keep clear by their owners' own share of the control error
  return met(moved.steps, error) && (!kept.steps.length || met(kept.steps, knowledge.data.errors[level]));
}

/** What the movers ask with their ends at `error`; what the regime and the others ask at `level`. */
function boxes(knowledge, { regime, present }, movers, error, level) {
  let moved = knowledge.frame.open, kept = regime;
  for (const { id, places } of present) {
    if (movers.includes(id)) moved = both(moved, moving(knowledge, places, error, level));
    else kept = both(kept, knowledge.boxes[places[level]]);
  }
  return [moved, kept];
}

/** The box of a plant with every end that it holds at `level` moved on to `error`. */
function moving({ frame, boxes, data }, places, error, level) {
  const [full, half, held] = [HALF - 1, HALF, level].map((n) => boxes[places[n]]);
  const way = 2 * (error - data.errors[level]);
  const ends = (side) => held[side].map((end, k) =>
    (end === frame.open[side][k] ? end : end + way * (full[side][k] - half[side][k])));
  return { lows: ends("lows"), highs: ends("highs"), steps: held.steps };
}

/** As Frame.both, for boxes that are asked about once: nothing is remembered of them. */
const both = (a, b) => ({
  lows: a.lows.map((low, k) => Math.max(low, b.lows[k])),
  highs: a.highs.map((high, k) => Math.min(high, b.highs[k])),
  steps: [...new Set([...a.steps, ...b.steps])],
});
