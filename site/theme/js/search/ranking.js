/* What is found under a query, best first. Pure functions over the list of data/search.json. */

const SAME = 0, START = 1, WORDS = 2, NEAR = 3;
const FEW = 3;
const ALIAS = 1;
const TITLES = 2; // shelves from here on hold titles: one that starts with a word is no nearer than one that holds it
const RANKS = new Set(["subsp", "ssp", "var", "f", "fo", "forma", "cv", "x", "×", "subspecies", "variety", "form",
  "nothosubsp", "nothovar"]);

/** A name as compared: small letters without accents, quotes, rank words and hybrid signs. */
export function plain(text) {
  const bare = text.normalize("NFKD").toLowerCase().replaceAll("ß", "ss").replace(/[\p{M}'’‘`"]/gu, "");
  const [first = "", ...others] = bare.match(/[\p{L}\p{N}]+/gu) ?? [];
  return [first, ...others.filter((word) => !RANKS.has(word))].join(" ");
}

/** Slips that a word of this length may hold. */
export function allowed(length) {
  return length < 4 ? 0 : length < 8 ? 1 : length < 14 ? 2 : 3;
}

/** Letters changed, left out, put in or swapped with their neighbour between two words; Infinity if above most. */
export function distance(one, other, most) {
  if (Math.abs(one.length - other.length) > most) return Infinity;
  let before = [], above = Array.from({ length: other.length + 1 }, (_, place) => place);
  for (let i = 1; i <= one.length; i++) {
    const row = [i];
    for (let j = 1; j <= other.length; j++) {
      const differs = one[i - 1] === other[j - 1] ? 0 : 1;
      row[j] = Math.min(above[j] + 1, row[j - 1] + 1, above[j - 1] + differs);
      if (i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1]) {
        row[j] = Math.min(row[j], before[j - 2] + 1);
      }
    }
    if (Math.min(...row) > most) return Infinity;
    [before, above] = [above, row];
  }
  return above[other.length] <= most ? above[other.length] : Infinity;
}

/** The list made ready for many queries. `index` as in data/search.json. */
export function prepare(index) {
  const names = [];
  for (const [kind, url, title, told, others] of index.pages) {
    const [word, shelf] = index.kinds[kind];
    const page = { kind: word, order: kind, shelf, url, title, told };
    const all = [[0, title], ...others, ...(told ? [[ALIAS, `${told} ${title}`]] : [])];
    for (const [relation, text] of all) {
      const key = plain(text);
      names.push({ page, relation, text, key, joined: key.replaceAll(" ", ""), words: key.split(" ") });
    }
  }
  const vocabulary = [...new Set(names.flatMap((name) => name.words))];
  return { names, vocabulary, relations: index.relations };
}

/** Pages under a query, best first, each once: `{page, text, relation, tier, slips}`.
 *
 * A name as written goes before one that starts so, then names that hold all words or their beginnings. Other
 * spellings are looked for only where few are found as written. Ties: fewer slips, shelf, relation, kind, name.
 */
export function search(list, query) {
  const words = plain(query).split(" ");
  const joined = words.join("");
  if (!joined) return [];
  const written = best(list, (name) => asWritten(name, joined, words));
  if (written.length >= FEW) return written;
  const likely = words.map((word) => likeness(word, list.vocabulary));
  const near = best(list, (name) => nearly(name, joined, words, likely));
  const seen = new Set(written.map((hit) => hit.page));
  return [...written, ...near.filter((hit) => !seen.has(hit.page))];
}

function best(list, rate) {
  const hits = new Map();
  for (const name of list.names) {
    const rated = rate(name);
    if (!rated) continue;
    const [tier, slips] = rated;
    const told = name.relation > ALIAS ? list.relations[name.relation] : "";
    const hit = { page: name.page, text: told ? name.text : name.page.title, relation: told, tier, slips, name };
    const known = hits.get(name.page);
    if (!known || order(hit, known) < 0) hits.set(name.page, hit);
  }
  return [...hits.values()].sort(order);
}

function order(one, other) {
  return one.tier - other.tier || one.slips - other.slips || one.page.shelf - other.page.shelf
    || one.name.relation - other.name.relation || one.page.order - other.page.order
    || (one.name.key < other.name.key ? -1 : one.name.key > other.name.key ? 1 : 0);
}

function asWritten(name, joined, words) {
  if (name.joined === joined || abbreviated(name, words)) return [SAME, 0];
  if (name.page.shelf < TITLES && name.joined.startsWith(joined)) return [START, 0];
  const held = paired(words, name.words, (word, other) => (other.startsWith(word) ? 0 : Infinity));
  return held < Infinity ? [WORDS, held] : null;
}

/** D. capensis: the first word is cut short, the others are whole. */
function abbreviated(name, words) {
  return words.length > 1 && words.length === name.words.length && name.words[0].startsWith(words[0])
    && words.every((word, place) => place === 0 || word === name.words[place]);
}

function nearly(name, joined, words, likely) {
  const whole = distance(joined, name.joined, allowed(joined.length));
  const byWord = paired(words, name.words, (word, other) => likely[words.indexOf(word)].get(other) ?? Infinity);
  const slips = Math.min(whole, byWord);
  return slips < Infinity ? [NEAR, slips] : null;
}

/** How far each word of the vocabulary is from a word asked for, which may be the beginning of it. */
function likeness(word, vocabulary) {
  const found = new Map();
  const most = allowed(word.length);
  for (const other of vocabulary) {
    const slips = other.startsWith(word) ? 0
      : Math.min(distance(word, other, most), distance(word, other.slice(0, word.length), most));
    if (slips < Infinity) found.set(other, slips);
  }
  return found;
}

/** Slips in all when every word is given another word of the name, the nearest that is left; Infinity if one has none. */
function paired(words, others, slips) {
  const left = [...others];
  let total = 0;
  for (const word of words) {
    let nearest = -1, least = Infinity;
    left.forEach((other, place) => {
      const cost = slips(word, other);
      if (cost < least) [nearest, least] = [place, cost];
    });
    if (nearest < 0) return Infinity;
    left.splice(nearest, 1);
    total += least;
  }
  return total;
}
