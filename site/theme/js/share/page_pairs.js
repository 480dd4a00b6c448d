/** Every pair of the chosen plants, judged alone. */

import { aside, el, scrolling, sign } from "./page_dom.js";
import { PAIRS } from "./page_words.js";

/** Returns {section, tell}: tell({pair, shares}) fills the cell of a pair in, shares a key of PAIRS. */
export function pairs(view) {
  const { ids } = view;
  const cells = new Map();
  const rows = ids.slice(1).map((a, row) =>
    el("tr", {}, el("th", { scope: "row" }, el("span", { class: "count" }, `${row + 2} `), view.link(a)),
      ids.slice(0, -1).map((b, column) => {
      const cell = el("td", {}, column <= row ? "…" : "");
      if (column <= row) cells.set(`${[a, b]}`, cell);
      return cell;
    })));
  const head = ids.slice(0, -1).map((id, n) => el("th", { scope: "col" }, String(n + 1), aside(` ${view.names(id)}`)));
  const table = el("table", { class: "pairs" },
    el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "Plant"), head)), el("tbody", {}, rows));
  function tell({ pair, shares }) {
    const cell = cells.get(`${pair}`);
    cell.replaceChildren(sign(PAIRS[shares].sign), PAIRS[shares].word);
    cell.className = `pair-${shares}`;
  }
  const first = el("p", {}, el("span", { class: "count" }, "1 "), view.link(ids[0]));
  const section = el("section", {}, el("h2", {}, "Pair by pair"), first, scrolling("Pair by pair", table),
    el("p", { class: "dim" }, "Each pair judged alone; the group decides, not its pairs."),
    el("ul", { class: "dim pair-key" }, Object.entries(PAIRS).map(([kind, { sign: shape, word, says }]) =>
      el("li", {}, el("span", { class: `pair-${kind}` }, sign(shape), word), `: ${says}`))));
  return { section, tell };
}
