/** The parts of an answer, one function each: elements for what judge() found. */

import { aside, el, inSentence, latin, scrolling, sign } from "./page_dom.js";
import { windowNotes, windowRows } from "./page_window.js";
import {
  SEVERITIES, SHORT_TITLES, SHOWN_AXES, VERDICTS, axisUnit, calendarOrder, capital, clashWords, doing, filled,
    monthName, number, range, sorted,
  verdictWords,
} from "./page_words.js";

/** view : {knowledge, result, ids, south, names: id → name, link: id → element, root: address of the site}. */
export function verdict(view) {
  const told = verdictWords(view.knowledge, view.result, view.names, view.south);
  const held = VERDICTS[view.result.verdict];
  return [
    el("h2", { class: `verdict-word verdict-${held.word}` }, sign(held.sign), told.head),
    ...told.lines.map((line) => el("p", {}, line)),
  ];
}

/** Everything below the verdict that belongs to the group as a whole. leave(ids) takes plants out of the choice. */
export function answer(view, leave) {
  const { result } = view;
  const { deciding, knowing, open } = sorted(result.findings);
  return [
    result.readings.length > 0 && readings(view),
    result.verdict !== "sound" && (result.drops.length > 0 || result.clashes.length > 0) && clashes(view, leave),
    findings(view, deciding, "What decides"),
    result.windows && windows(view),
    result.years.length > 0 && years(view),
    (result.beds.length > 0 || result.lights.length > 0) && spots(view),
    open.length > 0 && unassessed(view, open),
    findings(view, knowing, "Worth knowing"),
  ].filter(Boolean);
}

const part = (title, ...children) => el("section", {}, el("h2", {}, title), ...children);

function readings({ result }) {
  const alike = new Set(result.readings.map((one) => one.verdict)).size === 1;
  return part(
    alike ? "Judged under each reading, with the same verdict" : "It depends on how you read what is open",
    el("ul", {},
      result.readings.map((one) =>
        el("li", {}, sign(VERDICTS[one.verdict]?.sign ?? ""), `${one.verdict}: ${one.label}`))),
  );
}

function clashes(view, leave) {
  const { result } = view;
  const why = result.clashes.map((clash) =>
    el("li", {}, `${capital(clash.regime.title)}: `, clashWords(view.knowledge, clash, view.names, view.south)));
  const drops = result.drops.map((drop) =>
    el("li", {},
      el("button", { type: "button", click: () => leave(drop) }, "Leave out ",
        inSentence(drop.map((id) => latin(view.names(id)))))));
  return part(
    "Who clashes, and what to leave out",
    why.length > 0 && !result.windows && el("ul", {}, why),
    drops.length > 0
      && [el("p", { class: "on-screen" }, "Each of these alone lets the rest share:"),
        el("ul", { class: "drops" }, drops)],
  );
}

function findings(view, some, title) {
  const groups = Object.keys(SEVERITIES)
    .map((severity) => [severity, some.filter((finding) => finding.severity === severity)])
    .filter(([, found]) => found.length);
  if (!groups.length) return null;
  return part(title, groups.map(([severity, found]) => [
    el("h3", {}, sign(SEVERITIES[severity].sign), SEVERITIES[severity].word),
    el("ul", { class: "found" }, byRule(view, found).map((alike) => saying(view, alike))),
  ]));
}

/** Findings of one rule that ask for the same are told together. */
function byRule({ south }, found) {
  const groups = new Map();
  for (const finding of found) {
    const key = `${finding.rule} ${filled(finding.do, finding, south)}`;
    groups.set(key, [...(groups.get(key) ?? []), finding]);
  }
  return [...groups.values()];
}

/** What could matter but hangs on figures that nobody stated: a line for each rule, with the plants it could concern.
 */
function unassessed(view, open) {
  const rules = [...new Set(open.map((finding) => finding.rule))];
  return part("Not assessed for want of a sure figure", el("ul", {}, rules.map((rule) => {
    const plants = [...new Set(open.filter((finding) => finding.rule === rule).flatMap((finding) =>
      finding.plants.slice(0, 1)))];
    return el("li", {}, ruleLink(view, rule), plants.length > 0
      && [": ", inSentence(plants.map((id) => latin(view.names(id))))]);
  })));
}

const ruleLink = ({ knowledge, root }, rule) =>
  el("a", { href: `${root}rules/${rule}/` }, knowledge.rules[rule] ?? rule);

function saying(view, alike) {
  const [first] = alike;
  const { south } = view;
  return el("li", {},
    alike.map((finding) =>
      el("p", {}, !finding.certain && el("strong", {}, "Possibly: "), filled(finding.says, finding, south))),
    first.do && el("p", {}, sign("→"), filled(first.do, first, south)),
    el("p", { class: "dim" }, "Rule: ", ruleLink(view, first.rule)));
}

function windows(view) {
  const { knowledge, result, south } = view;
  const axes = SHOWN_AXES.filter((axis) => result.windows.some((window) => window[axis]));
  const head = axes.map((axis) =>
    el("th", { scope: "col" }, SHORT_TITLES[axis], " ", el("span", { class: "dim" }, axisUnit(knowledge, axis))));
  const rows = windowRows(result, south).map(({ months, window, point }) =>
    el("tr", {}, el("th", { scope: "row" }, months.length === 12 ? "all year" : monthName(months[0], south)),
      axes.map((axis) =>
      el("td", {}, window[axis] ? range(...window[axis]) : "any",
        point?.[axis] === undefined ? ""
          : el("span", { class: "aim" }, aside("aim for "), sign("◎"), number(point[axis]))))));
  return part(
    "What to build",
    scrolling("What to build", el("table", { class: "window" },
      el("caption", { class: "aside" }, "Range and set point of each month"),
      el("thead", {}, el("tr", {}, el("td", {}), head)), el("tbody", {}, rows))),
    el("p", { class: "dim" }, sign("◎"),
      "one setting that was checked: aim for it rather than for the edges. Day is the usual high, night the usual low, ",
      "drop what lies between them, light the hours of light a day."),
    windowNotes(knowledge, result, south).map((note) => el("p", {}, note)),
  );
}

function years(view) {
  const { result, south } = view;
  const order = calendarOrder(south);
  const head = order.map((month) => {
    const name = monthName(month, south);
    return el("th", { scope: "col" }, el("span", { class: "letter", "aria-hidden": "true" }, name[0]),
      el("span", { class: "month" }, name));
  });
  const rows = result.years.map((year) =>
    el("tr", {}, el("th", { scope: "row" }, view.link(year.id)), order.map((month) => {
      const { sign: letter, word } = doing(year, month);
      return el("td", { class: { R: "rests", "↑": "lifted" }[letter] ?? null }, sign(letter), aside(word));
    })));
  return part(
    "The year of each plant",
    scrolling("The year of each plant", el("table", { class: "strip" },
      el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "Plant"), head)), el("tbody", {}, rows))),
    el("p", { class: "dim" }, "A dot: it grows. R: it rests in place. ↑: it is lifted out and rests elsewhere."),
  );
}

function spots(view) {
  const { result } = view;
  const names = (ids) => inSentence(ids.map((id) => view.link(id)));
  const held = new Set(result.beds.flat());
  const afloat = result.windows ? view.ids.filter((id) => !held.has(id)) : [];
  const apart = result.beds.slice(1).map((bed) =>
    el("li", {}, names(bed), bed.length > 1 ? ": another water together" : ": own pot and saucer, own water"));
  if (afloat.length) apart.push(el("li", {}, names(afloat), ": open water of its own, a bowl or pool"));
  const water = apart.length
    ? [result.beds.length > 0 && el("p", {}, "One water for ", names(result.beds[0]), "."), el("ul", {}, apart)]
    : result.beds.length === 1 && view.ids.length > 1 && el("p", {}, "All of them can share one water.");
  const light = result.lights.length > 1
    ? [el("p", {}, "Places by light, from the dimmest to the brightest:"),
       el("ol", {}, result.lights.map((place) => el("li", {}, names(place))))]
    : result.lights.length === 1 && view.ids.length > 1 && el("p", {}, oneLight(result));
  if (!water && !light) return null;
  return part("Water and light", water && [el("h3", {}, "Water"), water], light && [el("h3", {}, "Light"), light]);
}

/** Where the group fails anyway, light alone would not part it. */
const oneLight = ({ verdict }) => (verdict === "unsound"
  ? "Light is not what parts them: one place with the same light would do for all."
  : "One place with the same light serves all.");

/** Rules this page cannot judge, folded away. rules : [{id, title, url, judged}]. */
export function unjudged(rules, root) {
  const left = rules.filter((rule) => !rule.judged);
  if (!left.length) return null;
  return el("details", { class: "unjudged" },
    el("summary", {}, `What this page does not judge (${left.length} of ${rules.length} rules)`),
    el("p", { class: "dim" }, "These need a plan of the enclosure. Write one with the plan file above and run ",
      el("code", {}, "bogwright judge"), " on it."),
    el("ul", { class: "columns" },
      left.map((rule) => el("li", {}, el("a", { href: `${root}${rule.url}` }, rule.title)))));
}
