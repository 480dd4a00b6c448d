// Whose water is shared, and how many places of different light a group needs.

import { ofYear } from "./knowledge.js";

/** Beds of plants [{asking, year}] that can share water, largest first: [[id…]…]. Floating plants have pools. */
export function beds(plants, moisture) {
  const apart = { standing: new Map(), either: new Map(), drained: new Map(), drying: new Map(), pool: new Map() };
  for (const { asking, year } of plants) {
    const wet = new Map();
    year.phases.forEach((phase, m) => {
      if (!year.absent.has(m)) wet.set(m, [...asking.ask.phases[phase].wet].map(Number));
    });
    apart[ofYear(asking.ask.water, year.number)].set(asking.id, wet);
  }
  // plants that do with drained medium too share it where nobody needs to stand in water
  const shared = apart.drained.size && !apart.standing.size ? apart.drained : apart.standing;
  for (const [id, wet] of apart.either) shared.set(id, wet);
  return [apart.standing, apart.drained, apart.drying]
    .flatMap((kind) => packed(kind, moisture))
    .sort((a, b) => b.length - a.length || compare(a, b));
}

/** First fit, narrowest plants first: a bound, not a proven least number. */
function packed(plants, moisture) {
  const width = (wet) => [...wet.values()].reduce((sum, classes) => sum + (classes.length || 5), 0);
  const order = [...plants.keys()].sort((a, b) => width(plants.get(a)) - width(plants.get(b)) || (a < b ? -1 : 1));
  const groups = [];
  for (const one of order) {
    const bed = groups.find((group) => share([...group, one].map((id) => plants.get(id)), moisture));
    if (bed) bed.push(one);
    else groups.push([one]);
  }
  return groups.map((group) => group.sort());
}

/** Whether every month has a stretch of neighbouring classes that touches what each plant lives with. */
function share(wets, { order, span }) {
  for (let m = 0; m < 12; m++) {
    const wants = wets.map((wet) => wet.get(m)).filter((classes) => classes?.length);
    let fits = false;
    for (let n = 0; n <= order.length - span && !fits; n++) {
      fits = wants.every((classes) => classes.some((c) => c >= n && c < n + span));
    }
    if (!fits) return false;
  }
  return true;
}

function compare(a, b) {
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return a[k] < b[k] ? -1 : 1;
  return 0;
}

/** The fewest places of different light, each with the plants that first grow in it, dimmest first. */
export function lightPlaces(askings) {
  const bands = askings
    .filter(({ ask }) => ask.light)
    .map(({ id, ask }) => ({ id, low: ask.light[0] ?? -1e9, high: ask.light[1] ?? Infinity }))
    .sort((a, b) => a.high - b.high || a.low - b.low || 0);
  const places = [];
  let lit = null;
  for (const { id, low, high } of bands) {
    if (lit === null || low > lit) {
      places.push([]);
      lit = high;
    }
    places[places.length - 1].push(id);
  }
  return places;
}
