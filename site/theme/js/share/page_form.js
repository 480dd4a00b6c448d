/** The grower's own conditions: read from the form with messages, and what they mean as a table. */

import { el, scrolling, sign } from "./page_dom.js";
import { againstPlant, againstWindows, anyTyped, overall } from "./page_measured.js";
import { axisTitle, axisUnit, calendarOrder, capital, monthName, monthWords, number } from "./page_words.js";

const MIDWINTER = [11, 0, 1];
const WORDS = { keeps: ["✓", "keeps"], fails: ["■", "does not keep"], unknown: ["?", "nobody knows"],
  nothing: ["·", "asks nothing of it"] };

/** changed() is called whenever a value changes. Returns {read, months}. */
export function conditions(changed) {
  const form = document.getElementById("measured");
  const apart = document.getElementById("rest-apart");
  const months = document.getElementById("rest-months");
  const rest = document.getElementById("measured-rest");
  const fields = [...form.querySelectorAll("input[data-axis]")];
  const legend = form.querySelector("#measured-growth legend");
  let touched = false;

  function split() {
    rest.hidden = months.hidden = !apart.checked;
    legend.textContent = apart.checked ? "In the growing months" : "All year";
  }

  /** {growth, rest, restMonths}, or null while something typed is wrong; each fault is told at its field. */
  function read() {
    const found = { growth: {}, rest: apart.checked ? {} : null, restMonths: checked() };
    let sound = true;
    for (const field of fields) {
      const values = found[field.dataset.phase];
      const fault = values ? wrong(field) : "";
      tell(field, fault);
      sound &&= !fault;
      if (values && !fault && field.value !== "") values[field.dataset.axis] = Number(field.value);
    }
    for (const phase of ["growth", "rest"]) {
      const values = found[phase];
      if (!values || !(values.temperature_night > values.temperature_day)) continue;
      tell(fields.find((one) => one.id === `${phase}-temperature_night`),
        "The night is warmer than the day: are they exchanged?");
      sound = false;
    }
    return sound ? found : null;
  }

  const checked = () => [...months.querySelectorAll("input:checked")].map((box) => Number(box.value));

  /** Month boxes in calendar order; those in which a plant rests in place are ticked until the grower ticks. */
  function showMonths(result, south) {
    const resting = result.years.flatMap((year) => year.rests.flatMap((one) => one.months)
      .filter((month) => !year.lifted.includes(month)));
    const ticked = touched ? checked() : resting.length ? resting : MIDWINTER;
    months.replaceChildren(el("legend", {}, "Resting months"), ...calendarOrder(south).map((month) =>
      el("label", {}, el("input", { type: "checkbox", value: String(month), checked: ticked.includes(month) }),
        ` ${monthName(month, south)}`)));
  }

  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", (event) => {
    touched ||= months.contains(event.target);
    split();
    changed();
  });
  split();
  return { read, showMonths };
}

function wrong(field) {
  if (field.validity.badInput) return "Write a number, such as 21.5.";
  const { min, max, unit } = { min: Number(field.min), max: Number(field.max), unit: field.dataset.unit };
  if (field.value !== "" && (Number(field.value) < min || Number(field.value) > max))
    return `A value between ${number(min)} and ${number(max)} ${unit}.`;
  return "";
}

function tell(field, fault) {
  document.getElementById(`${field.id}-error`).textContent = fault;
  if (fault) field.setAttribute("aria-invalid", "true");
  else field.removeAttribute("aria-invalid");
}

/** What the typed conditions mean for the shared windows and for each plant. bandsOf(id, phase) → bands. */
export function held(view, measured, bandsOf) {
  if (measured === null) return [el("p", {}, "Mend the fields above first.")];
  if (!anyTyped(measured)) return [];
  const { result } = view;
  const years = new Map(result.years.map((year) => [year.id, year]));
  const rows = view.ids.map((id) =>
    row(view, view.link(id), againstPlant((phase) => bandsOf(id, phase), years.get(id) ?? null, measured)));
  if (result.windows) rows.unshift(row(view, "The shared window", againstWindows(result.windows, measured)));
  return [
    scrolling("Your conditions", el("table", { class: "held" },
      el("thead", {}, el("tr", {}, ["Who", "Keeps?", "Where"].map((head) => el("th", { scope: "col" }, head)))),
        el("tbody", {}, rows))),
    result.years.length === 0 && measured.rest &&
      el("p", { class: "dim" }, "No year serves them together, so the resting months are held against nothing."),
  ].filter(Boolean);
}

function row(view, who, found) {
  const [mark, word] = WORDS[overall(found)];
  const order = { low: 0, high: 0, unknown: 1, keeps: 2, free: 3 };
  const told = [...found].sort((a, b) => order[a.word] - order[b.word]).map((one) => el("li", {}, words(view, one)));
  return el("tr", {}, el("th", { scope: "row" }, who), el("td", {}, sign(mark), word),
    el("td", {}, told.length > 0 && el("ul", {}, told)));
}

function words({ knowledge, south }, { axis, word, by, months }) {
  const when = months.length === 12 ? "" : ` (${monthWords(months, south)})`;
  const title = capital(axisTitle(knowledge, axis));
  if (word === "keeps") return `${title}: keeps${when}`;
  if (word === "free") return `${title}: no demand stated${when}`;
  if (word === "unknown") return `${title}: nobody knows${when}`;
  return `${title}: too ${word} by ${number(Math.max(by, 0.1))} ${axisUnit(knowledge, axis)}${when}`;
}
