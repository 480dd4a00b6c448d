/** The share check: keeps the choice, its address and the answer together. */

import { bands } from "./bands.js";
import { fetched } from "./fetched.js";
import { Knowledge } from "./knowledge.js";
import { MOST_PLANTS, readAddress, writeAddress } from "./page_address.js";
import { answer, unjudged, verdict } from "./page_answer.js";
import { bars } from "./page_bars.js";
import { chooser } from "./page_choose.js";
import { aside, el, latin } from "./page_dom.js";
import { conditions, held } from "./page_form.js";
import { WORKS, candidates } from "./others.js";
import { others } from "./page_others.js";
import { pairs } from "./page_pairs.js";
import { planText } from "./page_plan.js";
import { summaryText } from "./page_summary.js";
import { solver } from "./solver.js";

const byId = (id) => document.getElementById(id);
const root = byId("share").dataset.root;

start();

async function start() {
  say("Loading what is known of the plants …");
  try {
    const [text, rules] = await Promise.all([fetched(`${root}data/share.json`), fetched(`${root}data/rules.json`)]);
    const knowledge = new Knowledge(JSON.parse(text));
    say();
    run(knowledge, JSON.parse(rules), solver(text, knowledge));
  } catch (error) {
    console.error(error);
    say(el("div", { class: "callout" },
      el("p", {}, "The data of the plants could not be loaded. Check your connection and try again. ",
        "On your own computer, ", el("code", {}, "bogwright judge"),
        " with the names of the plants gives the same answer."),
      el("button", { type: "button", class: "quiet", click: () => location.reload() }, "Try again")));
  }
}

function say(...parts) {
  byId("share-state").replaceChildren(...parts);
}

function run(knowledge, rules, ask) {
  const plants = new Map(knowledge.plants.map((plant) => [plant.id, plant]));
  const names = (id) => plants.get(id)?.name ?? id;
  const link = (id) => el("a", { href: root + plants.get(id).url }, latin(names(id)));
  let { plants: ids, south } = {};
  let round = 0; // counts choices: what an earlier one still shows stops
  let result = null;

  const choose = chooser(knowledge, () => ids, add);
  const measured = conditions(showHeld);
  open();

  function open() {
    const asked = readAddress(location.search, (id) => plants.has(id));
    ({ plants: ids, south } = asked);
    const told = [
      ...asked.unknown.map(notKnown),
      asked.over && `Only the first ${MOST_PLANTS} plants of the address are shown.`,
    ].filter(Boolean);
    say(...told.map((text) => el("p", { class: "callout" }, text)));
    document.querySelector(`input[name=half][value=${south ? "south" : "north"}]`).checked = true;
    byId("share").hidden = false;
    render();
  }

  /** Why an id of the address is left out; a species whose forms differ is chosen by form. */
  function notKnown(id) {
    const forms = knowledge.plants.filter((plant) => plant.id.startsWith(`${id}/`));
    if (!forms.length) return `The address names “${id}”, which is not known here. It is left out.`;
    return [`The forms of “${id}” ask for different things. Choose one: `,
      el("span", { class: "choices" }, forms.map((plant) =>
      el("button", { type: "button", class: "quiet", click: () => add(plant.id) }, latin(plant.name))))];
  }

  function add(id) {
    if (ids.length >= MOST_PLANTS) return choose.say(`${MOST_PLANTS} plants are as many as this page compares.`);
    change([...ids, id]);
  }

  function change(chosen) {
    ids = chosen;
    say();
    history.replaceState(null, "", location.pathname + writeAddress(ids, south) + location.hash);
    render();
  }

  function remove(id) {
    const place = ids.indexOf(id);
    change(ids.filter((one) => one !== id));
    choose.refocus(byId("chosen").querySelectorAll("button"), place);
  }

  function leave(some) {
    change(ids.filter((id) => !some.includes(id)));
    byId("verdict").focus();
  }

  function render() {
    byId("share-empty").hidden = ids.length > 0;
    byId("chosen-head").textContent = ids.length ? `Chosen plants (${ids.length})` : "Chosen plants";
    byId("chosen-head").hidden = !ids.length;
    byId("chosen").replaceChildren(...ids.map(chosenRow));
    document.querySelector(".share-answer").hidden = !ids.length;
    if (!ids.length) [byId("verdict"), byId("answer"), byId("more")].forEach((one) => one.replaceChildren());
    else byId("answer").setAttribute("aria-busy", "true");
    round += 1;
    const mine = round;
    let shown = Promise.resolve();
    // one after the other, between which the browser has its turn
    const then = (...steps) => {
      for (const step of steps) shown = shown.then(turn).then(() => mine === round && step());
    };
    let rest = null;
    ask(ids, (parts) => {
      const { kind, result: found } = parts[0];
      if (found) byId("verdict").replaceChildren(...verdict(viewed(found)));
      if (!found) then(() => parts.forEach((part) => rest[part.kind](part)));
      else if (kind === "answer") then(() => showAnswer(found), () => { rest = showRest(); });
    });
  }

  const viewed = (found) => ({ knowledge, result: found, ids, south, names, link, root });

  function chosenRow(id) {
    const plant = plants.get(id);
    const known = plant.known === "profile" ? ""
      : el("span", { class: "dim by-name" }, "known by name only: judged by the range of its group");
    return el("li", {},
      el("span", {}, link(id), plant.common ? el("span", { class: "dim" }, ` ${plant.common[0]}`) : "", known),
      el("button", { type: "button", class: "quiet", click: () => remove(id) }, "Remove", aside(` ${plant.name}`)));
  }

  function showAnswer(found) {
    result = found;
    byId("answer").replaceChildren(...answer(viewed(result), leave));
    byId("answer").removeAttribute("aria-busy");
    byId("measured-part").hidden = false;
    measured.showMonths(result, south);
    showHeld();
  }

  /** What stands below the answer. Returns what hears of the rest: {pair, other, end}. */
  function showRest() {
    const view = viewed(result);
    const matrix = ids.length > 1 ? pairs(view) : null;
    const keep = el("section", { class: "on-screen" }, el("h2", {}, "Keep this answer"), takeAway());
    byId("more").replaceChildren(...[matrix?.section, bars(view, (id) => bands(knowledge, id)), keep,
      unjudged(rules, root)].filter(Boolean));
    let fitting = null; // shown once the pairs are told
    const tried = () => {
      if (!fitting && WORKS.includes(result.verdict)) {
        fitting = others(view, candidates(knowledge, view.ids).length, add);
        keep.before(fitting.section);
      }
      return fitting;
    };
    return { pair: (part) => matrix.tell(part), other: (part) => tried().tell(part), end: () => tried()?.end() };
  }

  function showHeld() {
    if (result) byId("measured-result").replaceChildren(
      ...held(viewed(result), measured.read(), (id, phase) => bands(knowledge, id, phase)));
  }

  function takeAway() {
    const told = el("p", { class: "dim", role: "status" });
    const copy = (text, what) => navigator.clipboard.writeText(text()).then(
      () => { told.textContent = `${what} copied.`; },
      () => shown(text()));
    const shown = (text) => {
      const area = el("textarea", { readonly: true, rows: "12", "aria-label": "Text to copy" });
      area.value = text;
      told.replaceChildren("The browser did not let the page copy. Here it is:", area);
      area.select();
    };
    const summary = () => summaryText({ knowledge, ids, result, names, south, address: location.href });
    const plan = () => planText({
      plants: ids.map((id) => plants.get(id)), beds: result.beds, south,
      measured: measured.read() ?? { growth: {}, rest: null, restMonths: [] },
    });
    const button = (title, click) => el("button", { type: "button", click }, title);
    return [
      el("p", { class: "buttons" },
        button("Copy as text", () => copy(summary, "Text")),
        button("Copy as plan file", () => copy(plan, "Plan file")),
        button("Download plan file", () => download("enclosure.yaml", plan())),
        button("Print", () => window.print())),
      el("p", { class: "dim" },
        "The address of this page holds the choice: copy it to open the same plants again. The plan file is for ",
        el("code", {}, "bogwright judge enclosure.yaml"), "; it states only what you chose and typed."),
      told,
    ];
  }

  for (const half of document.querySelectorAll("input[name=half]"))
    half.addEventListener("change", () => { south = half.value === "south" && half.checked; change(ids); });
  for (const example of document.querySelectorAll("a.example"))
    example.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      change(readAddress(new URL(example.href).search, (id) => plants.has(id)).plants);
      choose.focus();
    });
  window.addEventListener("popstate", open);
}

const turn = () => new Promise((resolve) => { setTimeout(resolve, 0); });

function download(name, text) {
  const address = URL.createObjectURL(new Blob([text], { type: "application/yaml" }));
  el("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 1000);
}
