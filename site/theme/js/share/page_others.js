/** What else would fit: every other plant tried beside the chosen ones, told as they are found. */

import { aside, el, sign } from "./page_dom.js";
import { VERDICTS } from "./page_words.js";

const STEP = 12;
const SHOWN_AFTER = 400; // ms between two looks at a list that still grows
const ORDER = ["sound", "conditional"];

/** total : how many are tried; add(id) puts a plant into the choice. Returns {section, tell, end}: tell({id, verdict,
 * margin}) of each plant tried, end() after the last.
 */
export function others(view, total, add) {
  const fitting = [];
  let most = STEP;
  let tried = 0;
  let shownAt = 0;
  const told = el("p", { class: "dim", role: "status" }, "Trying the others …");
  const list = el("ul", { class: "others" });
  const more = el("button", { type: "button", class: "quiet", hidden: true, click: () => { most += STEP; show(); } },
    "Show more");

  function show() {
    if (list.contains(document.activeElement)) return;
    list.replaceChildren(...fitting.slice(0, most).map((one) =>
      el("li", {},
        el("button", { type: "button", class: "quiet", click: () => add(one.id) }, "Add",
          aside(` ${view.names(one.id)}`)),
        el("span", {}, view.link(one.id)),
          el("span", { class: "dim" }, sign(VERDICTS[one.verdict].sign), one.verdict))));
    more.hidden = fitting.length <= most;
  }

  function tell(one) {
    tried += 1;
    if (ORDER.includes(one.verdict)) {
      fitting.push(one);
      fitting.sort((a, b) => ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict) || b.margin - a.margin);
    }
    if (performance.now() - shownAt < SHOWN_AFTER) return;
    shownAt = performance.now();
    told.textContent = `${tried} of ${total} tried, ${fitting.length} would fit so far.`;
    show();
  }

  function end() {
    told.textContent = fitting.length
      ? `${fitting.length} of ${tried} other plants would fit, those with the most room first.`
      : "None of the other plants would fit beside these.";
    show();
  }

  told.setAttribute("aria-live", "off");
  const section = el("section", { class: "on-screen" }, el("h2", {}, "What else would fit"), told, list, more);
  return { section, tell, end };
}
