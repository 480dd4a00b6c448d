/** Every pair of the chosen plants, judged alone. */

import { aside, el, inSlices, scrolling, sign } from "./page_dom.js";
import { PAIRS } from "./page_words.js";

/** The key of PAIRS for what judge() says of two plants; of those with conditions, who leaves for a rest is told apart. */
export const pairKind = ({ verdict, years }) =>
  (verdict === "conditional" && years.some((year) => year.lifted.length) ? "lifts" : verdict);

/** pair(a, b) → key of PAIRS; alive() is false once the choice has changed; done() after the last pair. */
export function pairs(view, pair, alive, done) {
  const { ids } = view;
  const cells = new Map();
  const rows = ids.slice(1).map((a, row) =>
    el("tr", {}, el("th", { scope: "row" }, el("span", { class: "count" }, `${row + 2} `), view.link(a)),
      ids.slice(0, -1).map((b, column) => {
      const cell = el("td", {}, column <= row ? "…" : "");
      if (column <= row) cells.set(cell, [a, b]);
      return cell;
    })));
  const head = ids.slice(0, -1).map((id, n) => el("th", { scope: "col" }, String(n + 1), aside(` ${view.names(id)}`)));
  const table = el("table", { class: "pairs" },
    el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "Plant"), head)), el("tbody", {}, rows));
  inSlices(judged(cells, pair), alive, ({ cell, kind }) => {
    cell.replaceChildren(sign(PAIRS[kind].sign), PAIRS[kind].word);
    cell.className = `pair-${kind}`;
  }, done);
  const first = el("p", {}, el("span", { class: "count" }, "1 "), view.link(ids[0]));
  return el("section", {}, el("h2", {}, "Pair by pair"), first, scrolling("Pair by pair", table),
    el("p", { class: "dim" }, "Each pair judged alone; the group decides, not its pairs."),
    el("ul", { class: "dim pair-key" }, Object.entries(PAIRS).map(([kind, { sign: shape, word, says }]) =>
      el("li", {}, el("span", { class: `pair-${kind}` }, sign(shape), word), `: ${says}`))));
}

function* judged(cells, pair) {
  for (const [cell, [a, b]] of cells) yield { cell, kind: pair(a, b) };
}
