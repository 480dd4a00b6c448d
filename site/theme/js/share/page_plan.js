/** The choice as a plan file that `bogwright judge` reads: only what was chosen or typed, all else is left unknown.
 * Pure.
 */

import { byMonth } from "./page_measured.js";
import { calendarOrder } from "./page_words.js";

const quoted = (text) => JSON.stringify(text);
const round = (value) => Math.round(value * 1000) / 1000;

/** plants : [{id, name}]; beds : the plants that can share water (one in none of them has a water of its own);
 * measured as in page_measured.js.
 */
export function planText({ plants, beds, measured, south }) {
  const units = waterUnits(plants, beds);
  const months = byMonth(measured);
  const year = (axis) => monthly(months, axis, south);
  const condition = (key, axis, wrap) => {
    const value = year(axis);
    return value === null ? [] : [`  ${key}: ${wrap ? `{usual: ${value}}` : value}`];
  };
  const supply = year("solids_supply");
  const light = year("ppfd");
  return `${[
    "# Written by the share check. What is not stated here is unknown: measure it and add it.",
    "plan: enclosure",
    `title: ${quoted("From the share check")}`,
    "horizon: {for: indefinitely}",
    "case:",
    "  vessel: {openings: unknown}",
    "  # A plan must say what drives its year: outdoor and window need a latitude, none has no seasons.",
    `  year: {kind: programmed, midwinter: ${south ? 6 : 12}}`,
    ...condition("temperature_day", "temperature_day", true),
    ...condition("temperature_night", "temperature_night", true),
    ...condition("photoperiod", "photoperiod", false),
    ...condition("humidity", "humidity", false),
    ...(units.length > 1 ? ["# One water for each group of plants that can share it, as the share check found."] : []),
    "water_units:",
    ...units.map(({ id }) => (supply === null ? `  - {id: ${id}}` : `  - {id: ${id}, supply: {solids: ${supply}}}`)),
    "places:",
    ...units.map(({ id }) => `  - {id: place-${id}, water: ${id}${light === null ? "" : `, light: {ppfd: ${light}}`}}`),
    "plants:",
    ...units.flatMap(({ id, plants: own }) =>
      own.map((plant) => `  - {id: ${slug(plant.id)}, taxon: ${quoted(plant.name)}, place: place-${id}}`),
    ),
  ].join("\n")}\n`;
}

/** One value if the year is even, else twelve from January to December; null where a month is not stated. */
function monthly(months, axis, south) {
  const values = calendarOrder(south).map((month) => months[month][axis]);
  const shown = values.map((value) => (value === undefined ? "unknown" : String(round(value))));
  if (shown.every((value) => value === "unknown")) return null;
  return shown.every((value) => value === shown[0]) ? shown[0] : `[${shown.join(", ")}]`;
}

function waterUnits(plants, beds) {
  const held = new Set(beds.flat());
  const afloat = plants.map((plant) => plant.id).filter((id) => !held.has(id));
  return [...beds, afloat].filter((ids) => ids.length).map((ids, n) => ({
    id: `water-${n + 1}`,
    plants: plants.filter((plant) => ids.includes(plant.id)),
  }));
}

const slug = (id) => id.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "");
