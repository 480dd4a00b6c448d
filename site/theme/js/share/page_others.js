/** What else would fit: every other plant tried beside the chosen ones, told as they are found. */

import { WORKS, byRoom } from "./others.js";
import { aside, el, sign } from "./page_dom.js";
import { MISS, VERDICTS, capital, roomWords } from "./page_words.js";

const STEP = 12;
const SHOWN_AFTER = 400; // ms between two looks at a list that still grows
const HOW = { sound: "soundly", conditional: "with conditions" };

/** total : how many are tried; add(id) puts a plant into the choice. Returns {section, tell, end}: tell({id, verdict,
 * margin, own, cost}) of each plant tried, end() after the last.
 */
export function others(view, total, add) {
  const fitting = [];
  const order = byRoom(view.names);
  const groups = WORKS.map((verdict) => group(view, verdict, add));
  let tried = 0;
  let shownAt = 0;
  const told = el("p", { class: "dim", role: "status" }, "Trying the others …");

  const show = () => groups.forEach((one) => one.show(fitting));

  function tell(one) {
    tried += 1;
    if (WORKS.includes(one.verdict)) {
      fitting.push(one);
      fitting.sort(order);
    }
    if (performance.now() - shownAt < SHOWN_AFTER) return;
    shownAt = performance.now();
    told.textContent = `${tried} of ${total} tried, ${fitting.length} would fit so far.`;
    show();
  }

  function end() {
    const counts = WORKS.map((verdict) => [fitting.filter((one) => one.verdict === verdict).length, HOW[verdict]]);
    told.textContent = fitting.length
      ? `${fitting.length} of ${tried} other plants would fit: ${counts.filter(([n]) => n).map(([n, how]) => `${n} ${how}`)
        .join(", ")}.`
      : "None of the other plants would fit beside these.";
    show();
  }

  told.setAttribute("aria-live", "off");
  const own = view.result.room && el("p", { class: "dim" },
    `By itself what you chose has ${roomWords(view.result.room.margin, view.south, ` ${MISS}`)}. `,
    "The case may stray so many times as far as an ordinary thermostat, timer or fogger strays before a plant is out.");
  const section = el("section", { class: "on-screen" }, el("h2", {}, "What else would fit"), own, told,
    groups.map((one) => one.section));
  return { section, tell, end };
}

/** The plants that fit in one way: {section, show(fitting)}. */
function group(view, verdict, add) {
  let most = STEP;
  let own = [];
  const list = el("ul", { class: "others" });
  const more = el("button", { type: "button", class: "quiet", click: () => { most += STEP; fill(); } },
    "Show more", aside(` that fit ${HOW[verdict]}`));
  const section = el("section", { hidden: true },
    el("h3", {}, sign(VERDICTS[verdict].sign), `${capital(HOW[verdict])}, the roomiest first`), list, more);

  function fill() {
    list.replaceChildren(...own.slice(0, most).map(({ id, margin }) =>
      el("li", {},
        el("button", { type: "button", class: "quiet", click: () => add(id) }, "Add", aside(` ${view.names(id)}`)),
        el("span", {}, view.link(id), el("span", { class: "dim" }, roomWords(margin, view.south))))));
    more.hidden = own.length <= most;
  }

  function show(fitting) {
    own = fitting.filter((one) => one.verdict === verdict);
    section.hidden = !own.length;
    if (!list.contains(document.activeElement)) fill();
  }

  return { section, show };
}
