/** The shared window as rows. Pure. */

import { SHOWN_AXES, calendarOrder } from "./page_words.js";

/** One row for all months if they are alike, else twelve from January: [{months, window, point}]. */
export function windowRows(result, south) {
  const rows = calendarOrder(south).map((month) => ({
    months: [month], window: result.windows[month], point: result.points?.[month],
  }));
  const told = (row) => JSON.stringify(SHOWN_AXES.map((axis) => [row.window[axis], row.point?.[axis]]));
  return rows.every((row) => told(row) === told(rows[0])) ? [{ ...rows[0], months: [...calendarOrder(south)] }] : rows;
}
