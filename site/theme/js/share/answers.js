// Everything that is told of a choice, in the order in which a reader wants it: the verdict before what costs more.

import { judge, others } from "./judge.js";

/**
 * Parts of the answer, one by one: {kind: "verdict", result} where the whole is still to come; {kind: "answer", result};
 * {kind: "pair", pair: [id, id], verdict} for every two of the plants; {kind: "other", id, verdict, margin} for every
 * other plant with a profile, where the chosen ones share a year; {kind: "end"}.
 */
export function* answers(knowledge, ids) {
  let result = judge(knowledge, ids, false);
  if (!result.windows && !result.readings.length) {
    yield { kind: "verdict", result };
    result = judge(knowledge, ids);
  }
  yield { kind: "answer", result };
  for (const [n, a] of ids.entries()) {
    for (const b of ids.slice(0, n)) {
      yield { kind: "pair", pair: [a, b], verdict: judge(knowledge, [a, b], false).verdict };
    }
  }
  // what already clashes takes no more
  if (result.windows) for (const other of others(knowledge, ids)) yield { kind: "other", ...other };
  yield { kind: "end" };
}
