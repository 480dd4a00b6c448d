/** Measured conditions held against the shared windows and against each plant's bands. Pure.
 *
 * measured : {growth: {axis: value}, rest: {axis: value} | null, restMonths: [month from midwinter]}.
 * Rest null means that growth holds all year.
 */

const MOL_PER_HOUR = 0.0036; // µmol m⁻² s⁻¹ over an hour → mol m⁻²

/** What was typed and what follows from it: the drop from day to night, the light a day. */
export function derived(values) {
  const all = { ...values };
  if (has(values, "temperature_day") && has(values, "temperature_night"))
    all.night_drop = values.temperature_day - values.temperature_night;
  if (has(values, "ppfd") && has(values, "photoperiod")) all.dli = values.ppfd * values.photoperiod * MOL_PER_HOUR;
  return all;
}

const has = (values, axis) => values?.[axis] !== undefined && values[axis] !== null;

/** Conditions of each of the twelve months from midwinter. */
export function byMonth(measured) {
  const growth = derived(measured.growth);
  const rest = measured.rest ? derived(measured.rest) : growth;
  return Array.from({ length: 12 }, (_, month) =>
    (measured.rest && measured.restMonths.includes(month) ? rest : growth));
}

/** Anything typed at all? */
export const anyTyped = (measured) =>
  Object.keys(measured.growth).length > 0 || (measured.rest !== null && Object.keys(measured.rest).length > 0);

/** One value against one band {low, high, low_if, high_if, open} → {word: 'keeps'|'low'|'high'|'unknown'|'free', by}.
 *
 * Inside the strict ends it keeps; beyond the loose end it fails, by so much; in between, and beyond an end that nobody
 * knows, nobody can say. An open end, and an axis without a band, makes no demand.
 */
export function hold(value, band) {
  if (!band) return { word: "free", by: 0 };
  if (band.low_if !== null && value < band.low_if) return { word: "low", by: band.low_if - value };
  if (band.high_if !== null && value > band.high_if) return { word: "high", by: value - band.high_if };
  const keepsLow = band.open?.low || (band.low !== null && value >= band.low);
  const keepsHigh = band.open?.high || (band.high !== null && value <= band.high);
  return { word: keepsLow && keepsHigh ? "keeps" : "unknown", by: 0 };
}

/** The shared windows: for each axis {axis, months, word, by} of every kind of outcome; by is the worst month's. */
export function againstWindows(windows, measured) {
  const months = byMonth(measured);
  return outcomes(
    windows.flatMap((window, month) =>
      Object.entries(window)
        .filter(([axis]) => has(months[month], axis))
        .map(([axis, [low, high]]) => ({
          axis, month, ...hold(months[month][axis], { low, high, low_if: low, high_if: high }),
        })),
    ),
  );
}

/** One plant through its year. bandsOf : phase → bands; year : its year together, or null where none was found.
 *
 * Months in which it is lifted out are left out; without a year only the months of growth are held.
 */
export function againstPlant(bandsOf, year, measured) {
  const months = byMonth(measured);
  const rows = [];
  for (let month = 0; month < 12; month += 1) {
    if (year?.lifted.includes(month) || (!year && measured.rest && measured.restMonths.includes(month))) continue;
    const rest = year?.rests.find((one) => one.months.includes(month));
    const bands = bandsOf(rest ? rest.key : "growth");
    for (const [axis, value] of Object.entries(months[month]))
      if (bands[axis] || !told(axis, months[month])) rows.push({ axis, month, ...hold(value, bands[axis]) });
  }
  return outcomes(rows);
}

/** An axis without a demand that is better left out: derived, or judged by another. */
const told = (axis, values) => axis === "night_drop" || (axis === "ppfd" && has(values, "dli"));

function outcomes(rows) {
  const groups = new Map();
  for (const { axis, month, word, by } of rows) {
    const key = `${axis} ${word}`;
    const group = groups.get(key) ?? { axis, word, by: 0, months: [] };
    group.by = Math.max(group.by, by);
    group.months.push(month);
    groups.set(key, group);
  }
  return [...groups.values()];
}

/** The worst outcome of a list: a failure before the unknown before keeping; "nothing" if nothing was asked. */
export function overall(found) {
  if (found.some((one) => one.word === "low" || one.word === "high")) return "fails";
  if (found.some((one) => one.word === "unknown")) return "unknown";
  return found.some((one) => one.word === "keeps") ? "keeps" : "nothing";
}
