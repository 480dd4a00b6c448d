/* The search page: results while typing, the query kept in the address, arrow keys from result to result. */

import { fetched } from "../share/fetched.js";
import { prepare, search } from "./ranking.js";

const ROOT = new URL("../../", import.meta.url);
const PAUSE = 150;
const MOST = 50;

const form = document.querySelector("form.search");
const field = form.elements.q;
const count = document.querySelector(".count");
const results = document.querySelector("ol.results");
const list = fetched(new URL("data/search.json", ROOT)).then((text) => prepare(JSON.parse(text)));

/** Text whose parts between low lines are Latin, in italics. */
function latin(text) {
  const made = document.createDocumentFragment();
  text.split("_").forEach((part, place) => {
    if (place % 2) made.append(element("i", part));
    else made.append(part);
  });
  return made;
}

function element(tag, ...children) {
  const made = document.createElement(tag);
  made.append(...children);
  return made;
}

function item({ page, text, relation }) {
  const link = element("a", page.kind === "source" ? text : latin(text));
  link.href = new URL(page.url, ROOT);
  const told = element("span", page.kind);
  told.className = "told";
  if (relation) told.append(`, ${relation} of `, latin(page.title));
  else if (page.told) told.append(", ", page.kind === "source" ? page.told : latin(page.told));
  return element("li", link, told);
}

function said(number) {
  if (number === 0) return "Nothing found under these words. Try fewer letters, or one of the indexes below.";
  if (number > MOST) return `The first ${MOST} of ${number} results`;
  return number === 1 ? "1 result" : `${number} results`;
}

async function show() {
  const query = field.value.trim();
  const address = new URL(location);
  if (query) address.searchParams.set("q", query);
  else address.searchParams.delete("q");
  history.replaceState(null, "", address);
  let found = [];
  try {
    found = search(await list, query);
  } catch {
    count.textContent = "The list of names could not be loaded. The indexes below lead to every page.";
    return;
  }
  if (query !== field.value.trim()) return;
  results.replaceChildren(...found.slice(0, MOST).map(item));
  count.textContent = query ? said(found.length) : "";
}

let waiting;
field.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(show, PAUSE);
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  clearTimeout(waiting);
  show();
});
document.addEventListener("keydown", (event) => {
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  const stops = [field, ...results.querySelectorAll("a")];
  const here = stops.indexOf(document.activeElement);
  const next = stops[here + step];
  if (!step || here < 0 || !next || event.altKey || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  next.focus();
});

field.value = new URL(location).searchParams.get("q") ?? "";
if (field.value) show();
