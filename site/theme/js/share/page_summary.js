/** The answer as text to copy. Pure. */

import { SEVERITIES, SHOWN_AXES, axisTitle, axisUnit, doing, filled, listed, monthName, monthWords, number, range,
  sorted, verdictWords } from "./page_words.js";
import { windowNotes, windowRows } from "./page_window.js";

/** knowledge as loaded; result of judge(); names : id → name; address : where the choice reopens. */
export function summaryText({ knowledge, ids, result, names, south, address }) {
  const told = verdictWords(knowledge, result, names, south);
  const parts = [[`Share check: ${listed(ids.map(names))}`, "", `${told.head.toUpperCase()}. ${told.lines.join(" ")}`]];
  if (result.windows) parts.push(["What to build (a range, and in it one setting that was checked: aim for that):",
    ...windowLines(knowledge, result, south), ...windowNotes(knowledge, result, south)]);
  if (result.years.length) parts.push(["The year:",
    ...result.years.map((year) => `- ${names(year.id)}: ${yearWords(year, south)}`)]);
  if (result.beds.length > 1)
    parts.push(["Water:",
      ...result.beds.map((bed, n) => `- ${n ? "apart, own pot and saucer" : "shared"}: ${listed(bed.map(names))}`)]);
  const { deciding, knowing, open } = sorted(result.findings);
  for (const severity of Object.keys(SEVERITIES)) {
    const found = [...deciding, ...knowing].filter((finding) => finding.severity === severity);
    if (found.length)
      parts.push([`${SEVERITIES[severity].word}:`,
        ...found.map((one) =>
          `- ${one.certain ? "" : "Possibly: "}${filled(one.says, one, south)}${one.do
            ? ` What to do: ${filled(one.do, one, south)}` : ""}`)]);
  }
  if (open.length)
    parts.push(["Not assessed for want of a sure figure:",
      ...new Set(open.map((one) => `- ${knowledge.rules[one.rule] ?? one.rule}`))]);
  if (result.drops.length)
    parts.push(["The rest shares without:", ...result.drops.map((drop) => `- ${listed(drop.map(names))}`)]);
  parts.push([address]);
  return `${parts.map((lines) => lines.join("\n")).join("\n\n")}\n`;
}

function windowLines(knowledge, result, south) {
  return windowRows(result, south).map(({ months, window, point }) => {
    const cells = SHOWN_AXES.filter((axis) => window[axis]).map((axis) => {
      const aim = point?.[axis] === undefined ? "" : `, aim for ${number(point[axis])}`;
      return `${axisTitle(knowledge, axis)} ${range(...window[axis])} ${axisUnit(knowledge, axis)}${aim}`;
    });
    return `- ${months.length === 12 ? "All year" : monthName(months[0], south)}: ${cells.join("; ")}`;
  });
}

/** "grows all year", "rests in place Nov–Feb", "lifted out Nov–Mar, grows else" */
export function yearWords(year, south) {
  const resting = Array.from({ length: 12 }, (_, month) => month).filter((month) =>
    doing(year, month).word === "rests in place");
  const parts = [
    resting.length && `rests in place ${monthWords(resting, south)}`,
    year.lifted.length && `is lifted out ${monthWords(year.lifted, south)}`,
  ].filter(Boolean);
  return parts.length ? listed(parts) : "grows all year";
}
