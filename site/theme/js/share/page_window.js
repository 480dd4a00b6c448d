/** The shared window as rows. Pure. */

import { SHOWN_AXES, calendarOrder, monthWords } from "./page_words.js";

/** One row for all months if they are alike, else twelve from January: [{months, window, point}]. */
export function windowRows(result, south) {
  const rows = calendarOrder(south).map((month) => ({
    months: [month], window: result.windows[month], point: result.points?.[month],
  }));
  const told = (row) => JSON.stringify(SHOWN_AXES.map((axis) => [row.window[axis], row.point?.[axis]]));
  return rows.every((row) => told(row) === told(rows[0])) ? [{ ...rows[0], months: [...calendarOrder(south)] }] : rows;
}

const NARROW = 1; // K, as report/narrow.py
const TITLES = { temperature_day: "days", temperature_night: "nights" };
const LEVELS = ["full", "half", "slow"];

/** What a reader must know of the ranges: a drop below 0, and days or nights that leave less than 1 K to set. */
export function windowNotes({ frame, data }, { windows, level }, south) {
  const notes = Object.entries(TITLES).flatMap(([axis, title]) => {
    const widths = windows.map((window) => window[axis][1] - window[axis][0]);
    const months = widths.flatMap((width, month) => (width < NARROW ? [month] : []));
    if (!months.length) return [];
    const width = Math.min(...widths);
    const when = months.length === 12 ? "all year" : `in ${monthWords(months, south)}`;
    const usual = frame.stepErrors[frame.stepped.indexOf(frame.order.indexOf(axis))];
    const share = data.errors[LEVELS.indexOf(level)];
    const stray = share === 1 ? `${usual} K either way, as an ordinary one does`
      : `no more than ${usual * share} K either way, and an ordinary one strays ${usual} K`;
    return [`The ${title} ${when} leave ${width < 0.1 ? "less than 0.1" : Math.round(width * 10) / 10} K to set: choose a `
      + `thermostat that can be set that finely. From there it may stray ${stray}.`];
  });
  if (windows.some((window) => window.night_drop?.[0] < 0))
    notes.unshift("A drop below 0: the night may even be warmer than the day.");
  return notes;
}
