/** Finding a plant by what was typed: Latin name, shortened genus, common name, synonym, cultivar. Pure. */

const NEAR = 0.34;

/** Lower case without accents, hybrid signs, dots and quotes; words parted by one space. */
export const plain = (text) =>
  text
    .normalize("NFD")
    .toLowerCase()
    .replace(/[\u0300-\u036f]/g, "")
    .replace(/[×'‘’"“”.,()[\]/-]/g, " ")
    .replace(/\s+/g, " ")
    .trim();

/** Every name of every plant: [{plant, name, text, words, rank}]; rank 0 for accepted names. */
export function nameIndex(plants) {
  const rows = [];
  for (const plant of plants) {
    const named = [[plant.name, 0], ...(plant.common ?? []).map((name) => [name, 1]),
      ...(plant.synonyms ?? []).map((name) => [name, 2])];
    for (const [name, rank] of named) {
      const text = plain(name);
      rows.push({ plant, name, text, words: text.split(" "), rank });
    }
  }
  return rows;
}

/** The plant whose name this is, or null; an accepted name goes before a synonym. A name that a species shares with its
 * own forms is the species; one of two unlike plants is nobody's.
 */
export function exact(index, typed) {
  const text = plain(typed);
  for (const rank of [0, 1, 2]) {
    const found = index.filter((row) => row.rank === rank && row.text === text).map((row) => row.plant);
    if (found.length) return found.find(({ id }) => found.every((one) => `${one.id}/`.startsWith(`${id}/`))) ?? null;
  }
  return null;
}

/** Best matches, one row a plant: every typed word begins a word of the name, in order. */
export function matches(index, typed, most, skip = () => false) {
  const asked = plain(typed).split(" ").filter(Boolean);
  if (!asked.length) return [];
  const best = new Map();
  for (const row of index) {
    if (skip(row.plant.id)) continue;
    const place = inOrder(row.words, asked);
    if (place < 0) continue;
    const score = row.rank * 100 + place * 10 + (row.text === plain(typed) ? -1000 : 0) + row.text.length / 100
      + (row.plant.known === "profile" ? 0 : 5);
    const before = best.get(row.plant.id);
    if (!before || score < before.score) best.set(row.plant.id, { row, score });
  }
  return [...best.values()].sort((a, b) => a.score - b.score).slice(0, most).map((one) => one.row);
}

function inOrder(words, asked) {
  let next = 0;
  let first = -1;
  for (let place = 0; place < words.length && next < asked.length; place += 1) {
    if (!words[place].startsWith(asked[next])) continue;
    if (first < 0) first = place;
    next += 1;
  }
  return next === asked.length ? first : -1;
}

/** Names that look like what was typed, nearest first. */
export function nearest(index, typed, most) {
  const text = plain(typed);
  if (text.length < 3) return [];
  const limit = Math.max(2, Math.floor(text.length * NEAR));
  const best = new Map();
  for (const row of index) {
    if (Math.abs(row.text.length - text.length) > limit) continue;
    const apart = distance(row.text, text, limit);
    if (apart > limit) continue;
    const before = best.get(row.plant.id);
    if (!before || apart < before.apart) best.set(row.plant.id, { row, apart });
  }
  return [...best.values()].sort((a, b) => a.apart - b.apart || a.row.rank - b.row.rank).slice(0, most).map((one) =>
    one.row);
}

/** Edits between two texts, swapped neighbours counting once; more than `limit` is returned as limit + 1. */
function distance(a, b, limit) {
  let [before, last] = [[], Array.from({ length: b.length + 1 }, (_, n) => n)];
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1) {
      row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) row[j] = Math.min(row[j],
        before[j - 2] + 1);
    }
    if (Math.min(...row) > limit) return limit + 1;
    [before, last] = [last, row];
  }
  return last[b.length];
}
