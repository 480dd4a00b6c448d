/** Elements without inline style or handlers. */

const SVG = "http://www.w3.org/2000/svg";
const RANKS = new Set(["var.", "subsp.", "ssp.", "f.", "cv.", "×", "x", "nothosubsp.", "nothovar.", "complex"]);

/** An element; attributes that are null or false are left out, and so are empty children; lists of children are
 * flattened.
 */
export function el(tag, attributes = {}, ...children) {
  return dressed(document.createElement(tag), attributes, children);
}

/** The same for drawings. */
export function svg(tag, attributes = {}, ...children) {
  return dressed(document.createElementNS(SVG, tag), attributes, children);
}

function dressed(made, attributes, children) {
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (key === "click") made.addEventListener("click", value);
    else made.setAttribute(key, value === true ? "" : value);
  }
  made.append(...children.flat(Infinity).filter((child) => child || child === 0));
  return made;
}

/** A sign for the eye; the word beside it says it all. */
export const sign = (text) => el("span", { class: "sign", "aria-hidden": "true" }, text);

/** Text for screen readers only. */
export const aside = (text) => el("span", { class: "aside" }, text);

/** A plant name, its Latin in italics; rank words, cultivar names and remarks in brackets stay upright. */
export function latin(name) {
  const pieces = name.split(/(\s\([^()]*\)|\s['‘].+['’]$|\s)/).filter((piece) => piece !== "" && piece !== undefined);
  return el("span", { class: "latin" }, pieces.map((piece) =>
    /^\s/.test(piece) || RANKS.has(piece) ? piece : el("i", {}, piece)));
}

/** Elements in a sentence: a, b and c. */
export function inSentence(items, word = "and") {
  return items.flatMap((item, n) => (n === 0 ? [item] : [n === items.length - 1 ? ` ${word} ` : ", ", item]));
}

/** A table that may scroll sideways, reachable by keyboard. */
export const scrolling = (label, table) =>
  el("div", { class: "scrolls", tabindex: "0", role: "region", "aria-label": label }, table);
