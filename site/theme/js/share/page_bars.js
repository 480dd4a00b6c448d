/** The chosen plants side by side: what each tolerates on every axis, as figures and bars. */

import { writeAddress } from "./page_address.js";
import { el, scrolling, svg } from "./page_dom.js";
import { COMPARED_AXES, axisTitle, axisUnit, capital, range } from "./page_words.js";

const WIDTH = 100;
const HEIGHT = 10;
const ROOM = 0.15;
const finite = (value) => typeof value === "number" && Math.abs(value) < 1e6;

/** bandsOf(id) → {axis: {low, high, low_if, high_if}}. */
export function bars(view, bandsOf) {
  const held = new Map(view.ids.map((id) => [id, bandsOf(id)]));
  const axes = COMPARED_AXES.filter((axis) => view.ids.some((id) => known(held.get(id)[axis])));
  if (!axes.length) return null;
  const axisPart = (axis) => {
    const ends = [...held.values()].flatMap((bands) => Object.values(bands[axis] ?? {})).filter(finite);
    const scale = scaleOf(ends);
    const rows = view.ids.map((id) => {
      const band = held.get(id)[axis];
      return el("tr", {}, el("th", { scope: "row" }, view.link(id)),
        el("td", { class: "bar-cell" }, known(band) && bar(band, scale)),
        el("td", {}, words(band)));
    });
    return el("tbody", {},
      el("tr", { class: "axis" },
        el("th", { scope: "colgroup", colspan: "3" }, capital(axisTitle(view.knowledge, axis)), " ",
      el("span", { class: "dim" }, axisUnit(view.knowledge, axis)))), rows);
  };
  return el("section", {}, el("h2", {}, "Side by side"),
    el("p", { class: "dim" },
      "What each tolerates while it grows. Solid: surely tolerated. Outlined: perhaps, the end is not sure. ",
      el("a", { href: `${view.root}compare/${writeAddress(view.ids, false)}` },
        "Every figure with its standing and a link to its source")),
    scrolling("Side by side", el("table", { class: "bars" }, axes.map(axisPart))));
}

/** From the least to the greatest end, with room on both sides for ends that lie open. */
function scaleOf(ends) {
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  const room = (most - least || Math.abs(most) || 1) * ROOM;
  return [least - room, most + room];
}

const known = (band) => band && [band.low, band.high, band.low_if, band.high_if].some(finite);

/** Each end is known, or makes no demand. */
const sure = (band) => (finite(band.low) || band.open?.low) && (finite(band.high) || band.open?.high);

function words(band) {
  if (!known(band)) return el("span", { class: "dim" }, band ? "nobody knows" : "no demand stated");
  const loose = range(band.low_if, band.high_if);
  if (!sure(band)) return `${loose}, not sure`;
  const strict = range(band.low, band.high);
  return loose === strict || loose === "any" ? strict : [strict, el("span", { class: "dim" }, ` perhaps ${loose}`)];
}

function bar(band, [least, most]) {
  const at = (value, otherwise) => (finite(value) ? ((value - least) / (most - least)) * WIDTH : otherwise);
  const loose = [at(band.low_if, 0), at(band.high_if, WIDTH)];
  const strict = sure(band) ? [at(band.low, 0), at(band.high, WIDTH)] : null;
  const box = ([x, end], name) =>
    svg("rect", { x, width: Math.max(end - x, 1), y: 2, height: HEIGHT - 4, class: name });
  return svg("svg",
    { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, preserveAspectRatio: "none", class: "bar", "aria-hidden": "true",
      focusable: "false" },
    svg("line", { x1: 0, x2: WIDTH, y1: HEIGHT / 2, y2: HEIGHT / 2, class: "bar-axis" }),
    String(loose) !== String(strict) && box(loose, "bar-loose"), strict && box(strict, "bar-sure"));
}
