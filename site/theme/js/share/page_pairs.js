/** Every pair of the chosen plants, judged alone. */

import { aside, el, inSlices, scrolling, sign } from "./page_dom.js";
import { VERDICTS } from "./page_words.js";

/** pair(a, b) → verdict word; alive() is false once the choice has changed; done() after the last pair. */
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
  inSlices(judged(cells, pair), alive, ({ cell, verdict }) => {
    const held = VERDICTS[verdict];
    cell.replaceChildren(sign(held.sign), held.pair);
    cell.className = `pair-${verdict}`;
  }, done);
  const first = el("p", {}, el("span", { class: "count" }, "1 "), view.link(ids[0]));
  return el("section", {}, el("h2", {}, "Pair by pair"), first, scrolling("Pair by pair", table),
    el("p", { class: "dim" },
      "Each pair judged alone. Yes: sound. If: with conditions. Open: unproven. No: unsound. ",
      "The group decides, not its pairs."));
}

function* judged(cells, pair) {
  for (const [cell, [a, b]] of cells) yield { cell, verdict: pair(a, b) };
}
