/** Any plants side by side: the choice stands in the address, each figure with its standing and a link to its claim. */

import { fetched } from "../share/fetched.js";
import { MOST_PLANTS, readAddress, writeAddress } from "../share/page_address.js";
import { chooser } from "../share/page_choose.js";
import { aside, el, latin, sign } from "../share/page_dom.js";

const WHOLE = 20; // characters of a figure that stay on one line
const byId = (id) => document.getElementById(id);
const root = byId("compare").dataset.root;

start();

async function start() {
  say("Loading what is known of the plants …");
  try {
    run(JSON.parse(await fetched(`${root}data/compare.json`)));
  } catch (error) {
    console.error(error);
    say(el("p", { class: "callout" }, "The data of the plants could not be loaded. Check your connection and ",
      el("a", { href: location.href }, "try again"), "."));
  }
}

function say(...parts) {
  byId("compare-state").replaceChildren(...parts);
}

function run(knowledge) {
  const plants = new Map(knowledge.plants.map((plant) => [plant.id, plant]));
  let ids = [];
  const choose = chooser(knowledge, () => ids, add);
  open();
  window.addEventListener("popstate", open);

  function open() {
    const asked = readAddress(location.search, (id) => plants.has(id));
    ids = asked.plants;
    say(...[
      ...asked.unknown.map((id) => `The address names “${id}”, which is not known here. It is left out.`),
      asked.over && `Only the first ${MOST_PLANTS} plants of the address are shown.`,
    ].filter(Boolean).map((text) => el("p", { class: "callout" }, text)));
    byId("compare").hidden = false;
    show();
  }

  function add(id) {
    if (ids.length >= MOST_PLANTS) return choose.say(`${MOST_PLANTS} plants are as many as this page compares.`);
    change([...ids, id]);
  }

  function change(chosen) {
    ids = chosen;
    say();
    history.replaceState(null, "", location.pathname + writeAddress(ids, false));
    show();
  }

  function remove(id) {
    const place = ids.indexOf(id);
    change(ids.filter((one) => one !== id));
    choose.refocus(byId("chosen").querySelectorAll("button"), place);
  }

  function show() {
    byId("compare-empty").hidden = ids.length > 0;
    byId("chosen-head").hidden = !ids.length;
    const kept = ids.map((id) => plants.get(id));
    byId("chosen").replaceChildren(...kept.map((plant) => el("li", {}, named(plant),
      el("button", { type: "button", class: "quiet", click: () => remove(plant.id) }, "Remove",
        aside(` ${plant.name}`)))));
    byId("compared").replaceChildren(...(kept.length ? compared(kept) : []));
  }

  function compared(kept) {
    const head = el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "figure"),
      kept.map((plant) => el("th", { scope: "col" }, named(plant)))));
    const rows = knowledge.rows.map(([title, anchor], n) => el("tr", {}, el("th", { scope: "row" }, title),
      kept.map((plant) => el("td", {}, shown(plant, knowledge.cells[plant.cells[n]], title, anchor)))));
    const judged = el("a", { href: `${root}share/${writeAddress(ids, false)}` }, "Can they share an enclosure?");
    return [
      el("h2", {}, "Side by side"),
      el("p", { class: "dim" }, "Each figure leads to its claim, with its source, passage and line. ↑ taken over from ",
        "the group or the genus. ", kept.length > 1 && judged),
      el("div", { class: "wide", tabindex: "0", role: "region", "aria-label": "Plants side by side" },
        el("table", { class: "side chosen-plants" }, el("caption", { class: "aside" }, "Plants side by side"), head,
          el("tbody", {}, rows))),
    ];
  }

  function named(plant) {
    const known = plant.known === "profile" ? "" : el("span", { class: "dim by-name" }, "by its group's range");
    return el("span", {}, el("a", { href: root + plant.url }, latin(plant.name)), known);
  }

  function shown(plant, [figure, standings, arrow], title, anchor) {
    const at = { href: `${root}${plant.figures}#${anchor}` };
    const marks = standings.map((key) => {
      const [mark, word] = knowledge.standings[key];
      return el("span", { class: "standing" }, sign(mark), word);
    });
    if (!figure) return marks;
    const words = standings.length ? el("a", at, figure, aside(`: ${title}, ${plant.name}`)) : figure;
    const inherited = arrow && ["\u00a0", el("span", { class: "up" }, el("span", { "aria-hidden": "true" }, arrow),
      aside(arrow.replace("↑", "inherited")))];
    const whole = figure.length <= WHOLE;
    return [el("span", { class: whole ? "figure whole" : "figure" }, words, inherited), marks];
  }
}
