/** Words and numbers of the share check: months, ranges, verdicts, units. Pure. */

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const BEYOND = 1e6;

export const SHOWN_AXES = ["temperature_day", "temperature_night", "night_drop", "photoperiod", "humidity"];
export const SHORT_TITLES = {
  temperature_day: "Day", temperature_night: "Night", night_drop: "Drop", photoperiod: "Light", humidity: "Humidity",
};
export const COMPARED_AXES = [...SHOWN_AXES, "ppfd", "dli", "table_below_crown", "solids_supply", "alkalinity"];

export const VERDICTS = {
  sound: { sign: "✓", word: "sound", says: "These plants can share an enclosure." },
  conditional: {
    sign: "◧", word: "conditional",
    says: "These plants can share an enclosure if the conditions below are kept.",
  },
  unproven: {
    sign: "?", word: "unproven",
      says: "Nobody can honestly say yet: what would decide is not known or is disputed.",
  },
  unsound: { sign: "■", word: "unsound", says: "These plants cannot share an enclosure." },
};

/** How two plants get on, each judged as a pair. */
export const PAIRS = {
  sound: { sign: "✓", word: "yes", says: "sound" },
  conditional: { sign: "◧", word: "if", says: "with conditions, both in place all year" },
  lifts: { sign: "↑", word: "lift", says: "with conditions, one or both lifted out for a rest elsewhere" },
  unproven: { sign: "?", word: "open", says: "unproven, nobody can honestly say yet" },
  unsound: { sign: "■", word: "no", says: "unsound" },
};

const SO_FAR = "Nothing known speaks against it; what could still matter is not all stated and is listed below.";

const LEVELS = {
  half: "It fits only with steadier equipment: everything must hold within half of what an ordinary thermostat, "
    + "fogger or timer strays.",
  slow: "It fits only if slower growth is accepted.",
};

export const SEVERITIES = {
  blocker: { sign: "■", word: "Blockers" },
  condition: { sign: "◧", word: "Conditions" },
  caution: { sign: "△", word: "Cautions" },
  note: { sign: "·", word: "Notes" },
};

/** Calendar month (0 = January) of a month counted from midwinter. */
export const calendarMonth = (month, south) => (month + (south ? 5 : 11)) % 12;

/** Months from midwinter in calendar order, January first. */
export const calendarOrder = (south) =>
  Array.from({ length: 12 }, (_, month) => month).sort((a, b) => calendarMonth(a, south) - calendarMonth(b, south));

export const monthName = (month, south) => MONTHS[calendarMonth(month, south)];

/** Months counted from midwinter as runs of the calendar: "Nov–Feb, Jun", "all year". */
export function monthWords(months, south) {
  const held = new Set(months);
  if (held.size === 12) return "all year";
  const starts = [...held].filter((month) => !held.has((month + 11) % 12));
  starts.sort((a, b) => calendarMonth(a, south) - calendarMonth(b, south));
  return starts
    .map((first) => {
      let last = first;
      while (held.has((last + 1) % 12)) last = (last + 1) % 12;
      return first === last ? monthName(first, south) : `${monthName(first, south)}–${monthName(last, south)}`;
    })
    .join(", ");
}

/** A number with one decimal at most and a true minus sign; from 100 on without decimals. */
export function number(value) {
  const size = Math.abs(value);
  const shown = size >= 100 ? Math.round(value) : Math.round(value * 10) / 10;
  return String(shown === 0 ? 0 : shown).replace("-", "−");
}

const open = (value) => value === null || value === undefined || Math.abs(value) >= BEYOND;

/** "10–20", "−3 to 8", "from 10", "up to 20", "any"; no unit. */
export function range(low, high) {
  if (open(low) && open(high)) return "any";
  if (open(low)) return `up to ${number(high)}`;
  if (open(high)) return `from ${number(low)}`;
  return low < 0 ? `${number(low)} to ${number(high)}` : `${number(low)}–${number(high)}`;
}

const UNITS = {
  degC: "°C", K: "°C", "umol m-2 s-1": "µmol m⁻² s⁻¹", "mol m-2 d-1": "mol m⁻² a day", "mg/L as CaCO3": "mg/L as CaCO₃",
};
export const unitWords = (unit) => UNITS[unit] ?? unit ?? "";

export const axisTitle = (knowledge, axis) => knowledge.axes[axis]?.title ?? axis.replaceAll("_", " ");
export const axisUnit = (knowledge, axis) => unitWords(knowledge.axes[axis]?.unit);

/** "a", "a and b", "a, b and c" */
export const listed = (items, word = "and") =>
  items.length < 2 ? items.join("") : `${items.slice(0, -1).join(", ")} ${word} ${items.at(-1)}`;

export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

const GRAVE = ["blocker", "condition"];

/** Findings as a reader meets them: what decides, what is worth knowing, and what was not assessed for want of a
 * figure.
 */
export function sorted(findings) {
  const grave = (finding) => GRAVE.includes(finding.severity);
  return {
    deciding: findings.filter((one) => one.holdsBack || (grave(one) && one.certain)),
    knowing: findings.filter((one) => !one.holdsBack && !grave(one) && one.certain),
    open: findings.filter((one) => !one.holdsBack && grave(one) && !one.certain),
  };
}

/** The verdict in sentences. names : id → name. Returns {head, lines}: what decides, who and why. */
export function verdictWords(knowledge, result, names, south) {
  const { deciding } = sorted(result.findings);
  const lines = [result.verdict === "conditional" && !deciding.length ? SO_FAR : VERDICTS[result.verdict].says];
  if (result.verdict !== "unsound" && LEVELS[result.level]) lines.push(LEVELS[result.level]);
  const blockers = deciding.filter((finding) => finding.severity === "blocker");
  const culprits = [...new Set(blockers.flatMap((finding) => finding.plants))];
  const between = culprits.length ? culprits : (result.clashes[0]?.plants ?? []);
  if (between.length && result.verdict !== "sound") lines.push(`The problem: ${listed(between.map(names))}.`);
  if (!blockers.length && result.verdict !== "sound" && result.clashes.length)
    lines.push(clashWords(knowledge, result.clashes[0], names, south));
  else lines.push(...blockers.slice(0, 2).map((finding) => filled(finding.says, finding, south)));
  if (result.regime && result.windows) lines.push(`The year to give them: ${result.regime.title}.`);
  return { head: capital(VERDICTS[result.verdict].word), lines };
}

/** One clash as a sentence. */
export function clashWords(knowledge, clash, names, south) {
  const who = listed(clash.plants.map(names));
  const unit = axisUnit(knowledge, clash.axis);
  const gap = clash.gap ? `, ${number(clash.gap)} ${unit} ` : "";
  const when = `at worst in ${monthName(clash.month, south)}`;
  if (clash.axis === "year") return `${who} ${clash.plants.length > 1 ? "find" : "finds"} no year that serves all.`;
  if (clash.plants.length < 2) return `${who} finds no place here over ${axisTitle(knowledge, clash.axis)}${gap
    && `${gap}short`}, ${when}.`;
  return `${who} clash over ${axisTitle(knowledge, clash.axis)}${gap && `${gap}apart`}, ${when}.`;
}

const ROOM_AXES = {
  temperature_day: "days", temperature_night: "nights", night_drop: "night drop",
  day_limit_by_night: "days after warm nights", photoperiod: "light", humidity: "humidity",
};
export const MISS = "what a grower’s control misses by";

/** The room that is left as judge() gives it: "room to spare: 2.1 times (tightest: nights in Mar–Apr)". of : what it
 * is counted in, where that is not told above.
 */
export function roomWords({ errors, axis, months }, south, of = "") {
  if (errors === null) return "room to spare: no end to it, nothing binds";
  const when = months.length === 12 ? "" : ` in ${monthWords(months, south)}`;
  return `room to spare: ${errors.toFixed(1)} times${of} (tightest: ${ROOM_AXES[axis]}${when})`;
}

/** A sentence of a finding with its months in the words of the calendar. */
export const filled = (text, finding, south) =>
  text.replace(/\{months(?::\w+)?\}/g, monthWords(finding.months ?? [], south));

/** What a plant does in a month of its year: {sign, word}. */
export function doing(year, month) {
  if (year.lifted.includes(month)) return { sign: "↑", word: "lifted out" };
  const rest = year.rests.find((one) => one.months.includes(month));
  return rest ? { sign: "R", word: "rests in place" } : { sign: "·", word: "grows" };
}
