// What else would fit: soundly or with conditions, and of each the roomiest first, as judge/fits.py ranks it.

import { LEVELS, judge, possibleLevel } from "./judge.js";

export const WORKS = ["sound", "conditional"];

/** Plants worth trying beside the group: those with a profile; forms that ask what their species asks go with it. */
export const candidates = (knowledge, ids) =>
  knowledge.plants.filter((plant) => plant.known === "profile" && !plant.likeSpecies && !ids.includes(plant.id));

/** Each of the candidates beside the group: {id, verdict}, and for those that fit {margin, own, cost}. margin and own
 * as margin.js gives them, own with only this plant's ends moved. Who fits only under some readings is unproven.
 */
export function* others(knowledge, ids, tried = candidates(knowledge, ids)) {
  for (const { id } of tried) {
    const askings = [...ids, id].map((one) => knowledge.asking(one));
    if (possibleLevel(knowledge, askings) === LEVELS.indexOf("none")) {
      yield { id, verdict: "unsound" }; // no need to ask why
      continue;
    }
    const { verdict, room } = judge(knowledge, [...ids, id], false, true);
    if (WORKS.includes(verdict) && room) yield { id, verdict, ...room };
    else yield { id, verdict: verdict === "unsound" ? verdict : "unproven" };
  }
}

/** The order of two that fit: soundly first, then the most room, the fewest lift-outs and least effort, the most room
 * of the newcomer's own, and by name. names: id → name.
 */
export const byRoom = (names) => (a, b) =>
  WORKS.indexOf(a.verdict) - WORKS.indexOf(b.verdict)
  || wide(b.margin) - wide(a.margin)
  || a.cost[0] - b.cost[0]
  || a.cost[1] - b.cost[1]
  || wide(b.own) - wide(a.own)
  || (names(a.id) < names(b.id) ? -1 : 1);

const wide = ({ errors }) => errors ?? 1e9;
