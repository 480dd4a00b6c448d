// Can these plants share one enclosure? The engine's answer, from its own exported boxes and findings.

import { beds, lightPlaces } from "./beds.js";
import { clashes, drops } from "./conflicts.js";
import { ofYear } from "./knowledge.js";
import { margin } from "./margin.js";

export const VERDICTS = ["sound", "conditional", "unproven", "unsound"];
export const LEVELS = ["full", "half", "slow", "none"];
const SEVERITIES = ["note", "caution", "condition", "blocker"];
const NONE = LEVELS.length - 1;
const SLOW = NONE - 1;
const MILDEST = 2; // the strictness at which clashes and leave-outs are sought

/** Judge plants by id; see the fields of the answer below. explain: also find clashes and what to leave
 * out. roomy: also how much room the fit leaves.
 */
export function judge(knowledge, ids, explain = true, roomy = explain) {
  const whole = judged(knowledge, ids.map((id) => knowledge.asking(id)), explain, roomy);
  const readings = apart(knowledge, ids, whole);
  const verdict = readings.length ? worst(readings.map((r) => r.verdict)) : whole.verdict;
  const main = readings.reduce((hard, r) => (rank(r.verdict) > rank(hard.verdict) ? r.answer : hard), readings[0]?.answer ?? whole);
  return { ...main, room: whole.room, verdict, readings: readings.map(({ label, verdict }) => ({ label, verdict })) };
}

const rank = (verdict) => VERDICTS.indexOf(verdict);

function worst(verdicts) {
  if (new Set(verdicts).size === 1) return verdicts[0];
  return verdicts.every((v) => v === "sound" || v === "conditional") ? "conditional" : "unproven";
}

/** One judgement with every open end spread as wide as its readings. */
function judged(knowledge, askings, explain, roomy) {
  const ids = askings.map((a) => a.id);
  const { level, fit, finished } = ladder(knowledge, askings);
  const possible = possibleLevel(knowledge, askings, level);
  const answer = {
    level: LEVELS[level], regime: null, years: [], windows: null, points: null, beds: [], lights: lightPlaces(askings),
    room: null, clashes: [], drops: [], findings: [],
  };
  let found = [];
  if (fit) {
    const chosen = askings.map((asking) => ({ asking, year: fit.years.get(asking.id) }));
    answer.regime = { id: fit.regime.id, title: fit.regime.title };
    answer.years = chosen.map(shownYear);
    answer.beds = beds(chosen, knowledge.data.moisture);
    Object.assign(answer, windows(knowledge, chosen, fit, knowledge.data.errors[level]));
    if (roomy) answer.room = room(knowledge, chosen, fit, level);
    const own = new Set(answer.beds.slice(1).flat());
    for (const { asking, year } of chosen) {
      const set = ofYear(own.has(asking.id) ? asking.ask.own : asking.ask.shared, year.number);
      const slots = { plant: nameOf(knowledge, asking.id), months: monthsOf(year, asking) };
      found.push(...filled(knowledge.findings(set), [asking.id], slots));
    }
  } else {
    for (const asking of askings) {
      found.push(...filled(knowledge.findings(asking.ask.known), [asking.id], { plant: nameOf(knowledge, asking.id) }));
    }
    if (explain) {
      const mildest = knowledge.arenas(askings, MILDEST);
      answer.clashes = clashes(mildest);
      answer.drops = drops(ids, (some) => mildest.serves(some));
    }
  }
  found.push(...neighbours(knowledge, askings));
  const lifted = answer.years.filter((y) => y.lifted.length).length;
  const shape = [possible, level, lifted > 0, answer.beds.length > 1, answer.lights.length > 1, !finished].map(Number);
  const problem = [...new Set(answer.clashes.flatMap((c) => c.plants))].sort().map((id) => nameOf(knowledge, id));
  found.push(...filled(knowledge.findings(knowledge.data.group[shape.join()]), [], {
    problem: problem.join(", ") || "none",
    regime: answer.regime?.title ?? "none",
    count_plants: ids.length,
    count_lifted: lifted,
    count_beds: answer.beds.length,
    count_lights: Math.max(answer.lights.length, 1),
  }));
  answer.findings = found.sort((a, b) => grave(b) - grave(a) || b.certain - a.certain || (a.rule < b.rule ? -1 : a.rule > b.rule ? 1 : 0));
  answer.verdict = VERDICTS[Math.max(0, ...found.map((f) => rank(f.weight)))];
  return answer;
}

const grave = (finding) => SEVERITIES.indexOf(finding.severity);
const nameOf = (knowledge, id) => knowledge.plant(id).name;

/** The strictest level that can be shared, and its fit. */
function ladder(knowledge, askings) {
  const ids = askings.map((a) => a.id);
  let finished = true;
  for (let level = 0; level < NONE; level++) {
    const found = knowledge.arenas(askings, level).best(ids);
    finished = finished && found.finished;
    if (found.fit) return { level, fit: found.fit, finished };
  }
  return { level: NONE, fit: null, finished };
}

/** The strictest level that could be shared if every figure in doubt fell the plants' way. */
export function possibleLevel(knowledge, askings, most = NONE) {
  const ids = askings.map((a) => a.id);
  for (let level = 0; level < most; level++) {
    if (knowledge.arenas(askings, SLOW + 1 + level).serves(ids)) return level;
  }
  return most;
}

/** The shared window of each month on every axis, with a checked set point near what the plants prefer. */
function windows(knowledge, chosen, fit, error) {
  const { frame, boxes } = knowledge;
  const made = { windows: [], points: [] };
  fit.boxes.forEach((box, month) => {
    let wish = fit.regime.boxes[month];
    for (const { asking, year } of chosen) {
      if (year.absent.has(month)) continue;
      const both = frame.both(wish, boxes[asking.ask.phases[year.phases[month]].wish]);
      // a wish that cannot be joined to the others' is the plant's loss, not the group's
      if (frame.feasible(frame.both(box, both), error)) wish = both;
    }
    const tight = frame.tightened(box);
    made.windows.push(Object.fromEntries(frame.order.map((axis, k) => [axis, [tight.lows[k], tight.highs[k]]])));
    made.points.push(frame.setPoint(box, frame.both(box, wish), error));
  });
  return made;
}

/** The year of one plant as the page shows it: the months away, and each rest with its months. */
function shownYear({ asking, year }) {
  const rests = asking.ask.phases
    .map((phase, n) => ({ ...phase.rest, months: year.phases.flatMap((p, m) => (p === n ? [m] : [])) }))
    .filter((rest) => rest.kind && rest.months.length);
  return { id: asking.id, way: ofYear(asking.ask.ways, year.number), lifted: [...year.absent].sort((a, b) => a - b), rests };
}

const monthsOf = (year, asking) => year.phases.flatMap((phase, m) => (asking.ask.phases[phase].rest ? [m] : []));

/** What neighbours do to each other, by their traits and difference in height. */
export function neighbours(knowledge, askings) {
  const { bounds, cells } = knowledge.data.pairs;
  const found = [];
  for (const first of askings) {
    for (const second of askings) {
      if (first === second) continue;
      const height = over(first.traits, second.traits).map((end) => position(end, bounds));
      const set = cells[[first.traits[0], second.traits[0], ...height].join()];
      if (set === undefined) continue;
      const slots = { first: nameOf(knowledge, first.id), second: nameOf(knowledge, second.id) };
      found.push(...filled(knowledge.findings(set), [first.id, second.id], slots));
    }
  }
  return found;
}

const LIMIT = 1e9;

/** By how much the first stands over the second: [least, greatest], beyond 1e8 as good as unknown. */
function over([, low, high], [, least, most]) {
  if ((low === null && high === null) || (least === null && most === null)) return [-LIMIT, LIMIT];
  const end = (value) => (Math.abs(value) > LIMIT / 10 ? Math.sign(value) * LIMIT : Math.round(value * 1e4) / 1e4);
  return [end((low ?? -LIMIT) - (most ?? LIMIT)), end((high ?? LIMIT) - (least ?? -LIMIT))];
}

const position = (value, bounds) => 2 * bounds.filter((b) => b < value).length + Number(bounds.includes(value));

function filled(findings, plants, slots) {
  const fill = (text) => text.replace(/\{(\w+)(?::\w+)?\}/g, (slot, name) => (Array.isArray(slots[name]) ? slot : slots[name] ?? slot));
  return findings.map((f) => ({ ...f, plants, months: slots.months ?? [], says: fill(f.says), do: fill(f.do) }));
}

/** Where sources disagree and the verdict may hang on it: the answer under each reading that decides. */
function apart(knowledge, ids, whole) {
  let open = whole.findings.filter((f) => (!f.certain || f.holdsBack) && !f.disputed);
  if (open.some((f) => f.holdsBack)) open = open.filter((f) => f.holdsBack);
  const everybody = open.some((f) => !f.plants.length);
  const unsettled = new Set(open.flatMap((f) => f.plants));
  const disputes = ids
    .filter((id) => everybody || unsettled.has(id))
    .flatMap((id) => (knowledge.plant(id).disputes ?? []).map((d, n) => ({ id, n, ...d })));
  const total = disputes.reduce((product, d) => product * d.readings.length, 1);
  if (!disputes.length || total > knowledge.data.mostReadings) return [];
  const shown = picks(disputes.map((d) => d.readings.length)).map((pick) => {
    const askings = ids.map((id) => {
      const own = disputes.flatMap((d, k) => (d.id === id ? [[d, pick[k]]] : []));
      if (!own.length) return knowledge.asking(id);
      return knowledge.asking(id, own.reduce((place, [d, n]) => place * d.readings.length + n, 0));
    });
    return { pick, answer: judged(knowledge, askings, false) };
  });
  const verdict = new Map(shown.map(({ pick, answer }) => [pick.join(), answer.verdict]));
  const deciding = disputes.map((_, d) =>
    shown.some(({ pick, answer }) => answer.verdict !== verdict.get(pick.map((n, k) => (k === d ? 0 : n)).join())),
  );
  if (!deciding.some(Boolean)) return [];
  return shown
    .filter(({ pick }) => pick.every((n, d) => deciding[d] || !n))
    .map(({ pick, answer }) => ({
      label: disputes
        .flatMap((d, k) => (deciding[k] ? [`${nameOf(knowledge, d.id)}, ${d.title.toLowerCase()}: ${d.readings[pick[k]]}`] : []))
        .join("; "),
      verdict: answer.verdict,
      answer,
    }));
}

function picks(counts) {
  return counts.reduce((all, count) => all.flatMap((pick) => Array.from({ length: count }, (_, n) => [...pick, n])), [[]]);
}

/** The room that the fit leaves, how much of it is the last plant's own, and what the fit costs. */
function room(knowledge, chosen, fit, level) {
  const ids = chosen.map(({ asking }) => asking.id);
  const left = (movers) => margin(knowledge, chosen, fit, level, movers);
  return { margin: left(ids), own: left(ids.slice(-1)), cost: fit.cost };
}
