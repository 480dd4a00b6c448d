// Why a group cannot be served, and the fewest plants to leave out: smallest hitting sets over conflicts.

/** A smallest-by-deletion subset that cannot be served, given that all of them cannot. */
function conflict(ids, serves) {
  let kept = [...ids];
  for (const one of ids) {
    const rest = kept.filter((i) => i !== one);
    if (!serves(rest)) kept = rest;
  }
  return kept;
}

/** One smallest conflict of every regime, with the axis and month where its closest years clash. */
export function clashes(arenas) {
  return arenas.each.map((arena) => {
    const plants = conflict(arena.ids, (ids) => arena.serves(ids));
    const { id, title } = arena.book.regime;
    return { regime: { id, title }, plants, ...nearest(arena, plants) };
  });
}

function nearest(arena, ids) {
  const { frame, regime, error } = arena.book;
  const chosen = ids.map((i) => [i, arena.options(i)[0]?.boxes ?? closest(arena, i)]);
  let best = null;
  for (let month = 0; month < 12; month++) {
    const parts = chosen.filter(([, boxes]) => boxes[month]).map(([i, boxes]) => [i, boxes[month]]);
    for (const { axis, gap } of frame.clashes([...parts, [`regime ${regime.id}`, regime.boxes[month]]], error)) {
      if (!best || gap > best.gap) best = { axis, gap, month };
    }
  }
  // years that each fit alone may clash only in combination: then no single axis is to blame
  return best ?? { axis: "year", gap: 0, month: 0 };
}

/** The year with the smallest worst gap against the regime alone. */
function closest({ book: { frame, regime, error }, plants }, id) {
  const gap = (boxes) =>
    boxes.reduce((worst, box, m) => {
      if (!box) return worst;
      const found = frame.clashes([["r", regime.boxes[m]], ["p", box]], error);
      return Math.max(worst, ...found.map((c) => c.gap));
    }, 0);
  return plants.get(id).years.map((y) => y.boxes).reduce((a, b) => (gap(b) < gap(a) ? b : a));
}

/** Smallest sets of plants to leave out so that the rest can be served, each of them asked; at most `most`. */
export function drops(ids, serves, most = 6, rounds = 400) {
  const conflicts = [], good = [];
  for (let round = 0; round < rounds; round++) {
    let next = null;
    for (const drop of hittingSets(conflicts, most * 8)) {
      if (good.some((g) => g.join() === drop.join())) continue;
      const rest = ids.filter((i) => !drop.includes(i));
      if (!serves(rest)) {
        next = conflict(rest, serves);
        break;
      }
      good.push(drop);
      if (good.length >= most) return good;
    }
    if (!next) return good;
    conflicts.push(next);
  }
  return good;
}

function hittingSets(conflicts, most) {
  const largest = new Set(conflicts.flat()).size;
  for (let size = 0; size <= largest; size++) {
    const found = new Map();
    hit(conflicts, size, [], found, most);
    if (found.size) return [...found.values()].sort((a, b) => (a.join() < b.join() ? -1 : 1));
  }
  return [];
}

function hit(conflicts, left, chosen, found, most) {
  const rest = conflicts.filter((c) => !c.some((i) => chosen.includes(i)));
  if (!rest.length) {
    const drop = [...chosen].sort();
    found.set(drop.join(), drop);
  } else if (left && found.size < most) {
    for (const one of [...rest[0]].sort()) hit(rest, left - 1, [...chosen, one], found, most);
  }
}
