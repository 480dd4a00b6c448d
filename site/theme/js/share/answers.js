// Everything that is told of a choice, in the order in which a reader wants it: the verdict before what costs more.

import { judge } from "./judge.js";
import { WORKS, others } from "./others.js";

/**
 * Parts of the answer, one by one: {kind: "verdict", result} where the whole is still to come; {kind: "answer", result};
 * {kind: "pair", pair: [id, id], shares} for every two of the plants; {kind: "other", …} of others.js for every
 * other plant with a profile, where the chosen ones share a year; {kind: "end"}.
 */
export function* answers(knowledge, ids) {
  let result = judge(knowledge, ids, false, true);
  if (!result.windows && !result.readings.length) {
    yield { kind: "verdict", result };
    result = judge(knowledge, ids);
  }
  yield { kind: "answer", result };
  for (const [n, a] of ids.entries()) {
    for (const b of ids.slice(0, n)) {
      yield { kind: "pair", pair: [a, b], shares: pairKind(judge(knowledge, [a, b], false)) };
    }
  }
  // nothing is added to what does not work
  if (WORKS.includes(result.verdict)) for (const other of others(knowledge, ids)) yield { kind: "other", ...other };
  yield { kind: "end" };
}

/** How two plants share: their verdict, but of those with conditions, who leaves for a rest is told apart as "lifts". */
export const pairKind = ({ verdict, years }) =>
  (verdict === "conditional" && years.some((year) => year.lifted.length) ? "lifts" : verdict);
