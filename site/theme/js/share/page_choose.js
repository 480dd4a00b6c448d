/** Choosing plants by typing: a combobox with a list of matches. Enter adds; what nobody knows is told, with names
 * like it.
 */

import { aside, el, latin } from "./page_dom.js";
import { exact, matches, nameIndex, nearest } from "./page_names.js";

const MOST_SHOWN = 10;
const MOST_NEAR = 4;

/** knowledge as loaded; chosen() → ids; add(id) puts a plant into the choice. */
export function chooser(knowledge, chosen, add) {
  const form = document.getElementById("choose");
  const input = document.getElementById("plant");
  const list = document.getElementById("plant-options");
  const error = document.getElementById("plant-error");
  const index = nameIndex(knowledge.plants);
  let shown = [];
  let active = -1;

  function close() {
    shown = [];
    active = -1;
    list.hidden = true;
    list.replaceChildren();
    input.setAttribute("aria-expanded", "false");
    input.removeAttribute("aria-activedescendant");
  }

  function open() {
    close();
    shown = matches(index, input.value, MOST_SHOWN, (id) => chosen().includes(id));
    if (!shown.length) return;
    list.replaceChildren(...shown.map((row, n) => option(row, n)));
    list.hidden = false;
    input.setAttribute("aria-expanded", "true");
  }

  function option(row, n) {
    const beside = row.rank === 0 ? ""
      : el("span", { class: "dim" }, row.rank === 1 ? `  ${row.name}` : `  synonym: ${row.name}`);
    const known = row.plant.known === "profile" ? "" : el("span", { class: "dim" }, "  by name only");
    const made = el("li", { id: `plant-option-${n}`, role: "option", "aria-selected": "false" }, latin(row.plant.name),
      beside, known);
    made.addEventListener("pointerdown", (event) => event.preventDefault());
    made.addEventListener("click", () => take(row.plant.id));
    return made;
  }

  function mark(place) {
    active = place;
    [...list.children].forEach((one, n) => one.setAttribute("aria-selected", String(n === place)));
    if (place < 0) return input.removeAttribute("aria-activedescendant");
    input.setAttribute("aria-activedescendant", `plant-option-${place}`);
    list.children[place].scrollIntoView({ block: "nearest" });
  }

  function take(id) {
    close();
    input.value = "";
    say();
    add(id);
    input.focus();
  }

  function say(...parts) {
    error.replaceChildren(...parts);
    if (parts.length) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  }

  function submit() {
    const typed = input.value.trim();
    if (active >= 0) return take(shown[active].plant.id);
    if (!typed) return say("Type the name of a plant first.");
    const found = exact(index, typed);
    if (found && chosen().includes(found.id)) return say(`${found.name} is chosen already.`);
    if (found) return take(found.id);
    const begun = matches(index, typed, MOST_SHOWN);
    const accepted = begun.filter((row) => row.rank === 0);
    const [only, ...further] = accepted.length ? accepted : begun;
    if (only && !further.length && !chosen().includes(only.plant.id)) return take(only.plant.id);
    if (begun.length) return say(`“${typed}” could be several plants. Which one? `, choices(begun.slice(0, MOST_NEAR)));
    const near = nearest(index, typed, MOST_NEAR);
    if (near.length) return say(`No plant is known as “${typed}”. Did you mean `, choices(near));
    return say(`No plant is known as “${typed}”. Try its genus, or look under Names.`);
  }

  /** Where the keyboard goes once a plant was removed: to the button now in its place, else to the field. */
  const refocus = (buttons, place) => (buttons[Math.min(place, buttons.length - 1)] ?? input).focus();

  const choices = (rows) =>
    el("span", { class: "choices" }, rows.map((row) =>
      el("button", { type: "button", class: "quiet", click: () => take(row.plant.id) }, aside("add "),
        latin(row.plant.name))));

  input.addEventListener("input", () => { say(); open(); });
  input.addEventListener("blur", () => setTimeout(close, 150));
  input.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      if (list.hidden) open();
      if (!shown.length) return;
      const step = event.key === "ArrowDown" ? 1 : -1;
      mark(active < 0 && step < 0 ? shown.length - 1 : (active + step + shown.length) % shown.length);
    } else if (event.key === "Escape" && !list.hidden) {
      event.preventDefault();
      close();
    }
  });
  form.addEventListener("submit", (event) => { event.preventDefault(); submit(); close(); });
  return { say, focus: () => input.focus(), refocus };
}
