/** The parts of the share check that touch no page. Run by test_share_parts.py; the modules lie in ./share/. */

import assert from "node:assert/strict";
import test from "node:test";

import { MOST_PLANTS, readAddress, writeAddress } from "./share/page_address.js";
import { againstPlant, againstWindows, byMonth, derived, hold, overall } from "./share/page_measured.js";
import { exact, matches, nameIndex, nearest } from "./share/page_names.js";
import { byRoom } from "./share/others.js";
import { planText } from "./share/page_plan.js";
import { summaryText, yearWords } from "./share/page_summary.js";
import { windowNotes, windowRows } from "./share/page_window.js";
import { calendarOrder, clashWords, doing, listed, monthName, monthWords, number, range, roomWords, sorted,
  verdictWords } from "./share/page_words.js";

const plant = (id, name, common = [], synonyms = []) => ({ id, name, common, synonyms, known: "profile" });
const PLANTS = [
  plant("drosera/capensis", "Drosera capensis", ["Cape sundew"]),
  plant("drosera/capillaris", "Drosera capillaris"),
  plant("drosera/capensis/alba", "Drosera capensis 'Alba'"),
  plant("dionaea/muscipula", "Dionaea muscipula", ["Venus flytrap"]),
  plant("pinguicula/x-weser", "Pinguicula × 'Weser'"),
  plant("pinguicula/moranensis", "Pinguicula moranensis", [], ["Pinguicula caudata"]),
];
const INDEX = nameIndex(PLANTS);
const names = (id) => PLANTS.find((one) => one.id === id).name;
const AXES = { frame: { order: ["temperature_day", "temperature_night"], stepped: [0, 1], stepErrors: [1.5, 1.5] },
  data: { errors: [1, 0.5, 1] }, axes: { temperature_day: { title: "air by day", unit: "degC" }, temperature_night: { title: "air by night", unit: "degC" },
  humidity: { title: "humidity", unit: "%" } } };
const ids = (rows) => rows.map((row) => row.plant.id);

test("an address says the choice and opens it again", () => {
  const query = writeAddress(["drosera/capensis", "dionaea/muscipula"], true);
  assert.equal(query, "?plants=drosera/capensis,dionaea/muscipula&south");
  assert.deepEqual(readAddress(query, () => true), {
    plants: ["drosera/capensis", "dionaea/muscipula"], unknown: [], south: true, over: false,
  });
  assert.equal(writeAddress([], false), "");
});

test("an address with wrong, repeated or too many plants", () => {
  const read = readAddress("?plants=a/b,%3Cscript%3E,a/b,,c/d", (id) => id === "a/b");
  assert.deepEqual([read.plants, read.unknown], [["a/b"], ["<script>", "c/d"]]);
  const many = Array.from({ length: MOST_PLANTS + 1 }, (_, n) => `a/p${n}`).join(",");
  assert.deepEqual([readAddress(`?plants=${many}`, () => true)].map((one) => [one.plants.length, one.over]),
    [[MOST_PLANTS, true]]);
  assert.deepEqual(readAddress("", () => true).plants, []);
});

test("names are found by Latin, shortened, common, synonym and cultivar", () => {
  assert.equal(exact(INDEX, " DROSERA  capensis").id, "drosera/capensis");
  assert.equal(exact(INDEX, "venus flytrap").id, "dionaea/muscipula");
  assert.equal(exact(INDEX, "pinguicula caudata").id, "pinguicula/moranensis");
  assert.equal(exact(INDEX, "Drosera capensis Alba").id, "drosera/capensis/alba");
  assert.equal(exact(INDEX, "sundew"), null);
  const flytraps = (...ids) => nameIndex(ids.map((id) => plant(id, id, ["Flytrap"])));
  assert.equal(exact(flytraps("a/b/red", "a/b", "a/b/big"), "flytrap").id, "a/b"); // shared with its own cultivars
  assert.equal(exact(flytraps("a/b", "a/bc"), "flytrap"), null);
  assert.deepEqual(ids(matches(INDEX, "D. cap", 2)), ["drosera/capensis", "drosera/capillaris"]);
  assert.deepEqual(ids(matches(INDEX, "sund", 5)), ["drosera/capensis"]);
  assert.deepEqual(ids(matches(INDEX, "weser", 5)), ["pinguicula/x-weser"]);
  assert.deepEqual(ids(matches(INDEX, "drosera capensis", 5, (id) => id === "drosera/capensis")),
    ["drosera/capensis/alba"]);
  assert.deepEqual(matches(INDEX, "  ", 5), []);
});

test("a misspelt name has neighbours, nonsense has none", () => {
  assert.equal(nearest(INDEX, "Drosera capnesis", 3)[0].plant.id, "drosera/capensis");
  assert.equal(nearest(INDEX, "Venus fly trap", 3)[0].plant.id, "dionaea/muscipula");
  assert.deepEqual(nearest(INDEX, "qqqqqqqqq", 3), []);
});

test("months are told as the calendar of either half of the world has them", () => {
  assert.equal(monthName(0, false), "Dec");
  assert.equal(monthName(0, true), "Jun");
  assert.equal(monthWords([11, 0, 1, 2], false), "Nov–Feb");
  assert.equal(monthWords([11, 0, 1, 2], true), "May–Aug");
  assert.equal(monthWords([4, 0], false), "Apr, Dec");
  assert.equal(monthWords(Array.from({ length: 12 }, (_, n) => n), false), "all year");
  assert.deepEqual([calendarOrder(false)[0], calendarOrder(true)[0]], [1, 7]);
});

test("numbers and ranges", () => {
  assert.deepEqual([-6.66, 0, -0.01, 14.25, 249.6].map(number), ["−6.7", "0", "0", "14.3", "250"]);
  assert.equal(range(10, 22.5), "10–22.5");
  assert.equal(range(-3.1, 22), "−3.1 to 22");
  assert.equal(range(null, 5), "up to 5");
  assert.equal(range(5, 1e9), "from 5");
  assert.equal(range(null, undefined), "any");
  assert.equal(listed(["a", "b", "c"]), "a, b and c");
});

test("a band: keeps, fails by so much, and what nobody knows", () => {
  const band = { low: 10, high: 20, low_if: 8, high_if: null };
  assert.deepEqual(hold(15, band), { word: "keeps", by: 0 });
  assert.deepEqual(hold(9, band), { word: "unknown", by: 0 });
  assert.deepEqual(hold(5, band), { word: "low", by: 3 });
  assert.deepEqual(hold(25, band), { word: "unknown", by: 0 });
  assert.deepEqual(hold(25, { ...band, high: null, open: { low: false, high: true } }), { word: "keeps", by: 0 });
  assert.deepEqual(hold(25, undefined), { word: "free", by: 0 });
});

test("what follows from measured values", () => {
  const all = derived({ temperature_day: 25, temperature_night: 17, ppfd: 200, photoperiod: 12 });
  assert.equal(all.night_drop, 8);
  assert.ok(Math.abs(all.dli - 8.64) < 1e-9);
  assert.deepEqual(derived({ humidity: 60 }), { humidity: 60 });
});

const WINTER = [11, 0, 1];
const measured = { growth: { temperature_night: 15 }, rest: { temperature_night: 5 }, restMonths: WINTER };

test("months of rest have their own conditions", () => {
  const months = byMonth(measured);
  assert.deepEqual([months[0].temperature_night, months[6].temperature_night], [5, 15]);
  assert.equal(byMonth({ ...measured, rest: null })[0].temperature_night, 15);
});

test("measured against the window, month by month", () => {
  const windows = Array.from({ length: 12 }, (_, m) => ({ temperature_night: WINTER.includes(m) ? [7, 9] : [10, 20] }));
  assert.deepEqual(againstWindows(windows, measured).map(({ word, by, months }) => [word, by, months.length]), [
    ["low", 2, 3], ["keeps", 0, 9],
  ]);
});

test("measured against a plant that rests, is lifted out, or has no year", () => {
  const asks = { growth: { temperature_night: { low: 10, high: 20, low_if: 10, high_if: 20 } },
    cold: { temperature_night: { low: 0, high: 8, low_if: 0, high_if: 8 } } };
  const of = (phase) => asks[phase];
  const year = { lifted: [], rests: [{ key: "cold", kind: "cold", where: "in-case", months: WINTER }] };
  assert.equal(overall(againstPlant(of, year, measured)), "keeps");
  assert.equal(overall(againstPlant(of, { lifted: WINTER, rests: [] }, measured)), "keeps");
  assert.equal(overall(againstPlant(of, { lifted: [], rests: [] }, measured)), "fails");
  assert.deepEqual(againstPlant(of, null, measured).map((one) => one.months.length), [9]);
  assert.equal(overall([]), "nothing");
});

test("a plant's months", () => {
  const year = { lifted: [0], rests: [{ kind: "cold", where: "in-case", months: [11] }] };
  assert.deepEqual([0, 11, 5].map((month) => doing(year, month).word), ["lifted out", "rests in place", "grows"]);
  assert.equal(yearWords(year, false), "rests in place Nov and is lifted out Dec");
  assert.equal(yearWords({ lifted: [], rests: [] }, false), "grows all year");
});

const even = { temperature_day: [17, 28], temperature_night: [10, 20] };
const SOUND = {
  verdict: "sound", level: "full", regime: { id: "even", title: "warm days all year" },
    years: [{ id: "drosera/capensis", lifted: [], rests: [] }],
  windows: Array(12).fill(even), points: Array(12).fill({ temperature_day: 22, temperature_night: 15 }), beds: [["drosera/capensis"]],
    lights: [],
  findings: [], clashes: [], drops: [], readings: [],
};
const CLASH = {
  ...SOUND, verdict: "unsound", level: "none", regime: null, windows: null, points: null, years: [],
  clashes: [{ axis: "temperature_night", plants: ["drosera/capensis", "dionaea/muscipula"], gap: 4.25, month: 6,
    regime: { id: "even", title: "warm days all year" } }],
  drops: [["dionaea/muscipula"]],
};

test("a possible finding decides only where it holds the verdict back", () => {
  const found = (rule, severity, certain, holdsBack) => ({ rule, severity, certain, holdsBack });
  const { deciding, knowing, open } = sorted([
    found("a", "blocker", true), found("b", "blocker", false, true), found("c", "condition", false),
    found("d", "note", true), found("e", "note", false),
  ]);
  assert.deepEqual([deciding, knowing, open].map((some) => some.map((one) => one.rule).join("")), ["ab", "d", "c"]);
});

test("months alike make one row, others twelve from January", () => {
  assert.deepEqual(windowRows(SOUND, false).map((row) => row.months.length), [12]);
  const windows = [{ temperature_night: [0, 5] }, ...Array(11).fill(even)];
  const rows = windowRows({ ...SOUND, windows }, false);
  assert.deepEqual([rows.length, rows[11].window.temperature_night], [12, [0, 5]]);
});

test("a narrow window and a drop below 0 are told", () => {
  assert.deepEqual(windowNotes(AXES, SOUND, false), []);
  const windows = SOUND.windows.map((window, m) => ({ ...window, night_drop: [-5, 18],
    temperature_night: m === 0 ? [10, 10.4] : [10, 20] }));
  const [drop, narrow] = windowNotes(AXES, { windows, level: "half" }, false);
  assert.match(drop, /warmer than the day/);
  assert.match(narrow, /^The nights in Dec leave 0\.4 K to set: .* no more than 0\.75 K either way, .* strays 1\.5 K\.$/);
  assert.match(windowNotes(AXES, { windows, level: "full" }, false)[1], /may stray 1\.5 K either way, as an ordinary/);
});

test("what else fits is ranked soundly first, then by room, cost and name", () => {
  const one = (id, verdict, errors, cost = [0, 0], own = 9) =>
    ({ id, verdict, margin: { errors }, own: { errors: own }, cost });
  const found = [one("e", "conditional", 5), one("d", "sound", 1), one("c", "sound", 2, [1, 0]), one("b", "sound", 2),
    one("a", "sound", 2, [0, 0], 8), one("f", "sound", null)];
  assert.equal(found.sort(byRoom((id) => id)).map((some) => some.id).join(""), "fbacde");
  const room = { errors: 2, axis: "temperature_night", months: [0, 1] };
  assert.equal(roomWords(room, false), "room to spare: 2.0 times (tightest: nights in Dec–Jan)");
  assert.match(roomWords({ ...room, errors: null }, false), /nothing binds/);
});

test("the verdict names who clashes and why", () => {
  const told = verdictWords(AXES, CLASH, names, true);
  assert.equal(told.head, "Unsound");
  assert.ok(told.lines.includes("The problem: Drosera capensis and Dionaea muscipula."));
  assert.ok(told.lines.includes(clashWords(AXES, CLASH.clashes[0], names, true)));
  assert.match(told.lines.at(-1), /clash over air by night, 4\.3 °C apart, at worst in Dec/);
});

test("the answer as text", () => {
  const text = (result) =>
    summaryText({ knowledge: AXES, ids: ["drosera/capensis"], result, names, south: false,
      address: "https://x.example/" });
  assert.match(text(SOUND), /SOUND\. .*\n\nWhat to build.*\n- All year: air by day 17–28 °C, aim for 22; air by night 10–20 °C, aim for 15/);
  assert.match(text(CLASH), /The rest shares without:\n- Dionaea muscipula/);
});

test("the plan states what was typed and no more", () => {
  const bare = planText({ plants: PLANTS.slice(0, 1), beds: [], south: false,
    measured: { growth: {}, rest: null, restMonths: [] } });
  assert.ok(!/temperature|humidity|ppfd|supply|moisture/.test(bare));
  const told = planText({ plants: PLANTS, beds: [["drosera/capensis"], ["pinguicula/x-weser"]], south: true,
    measured });
  assert.match(told, /midwinter: 6/);
  assert.match(told, /temperature_night: \{usual: \[15, 15, 15, 15, 5, 5, 5, 15, 15, 15, 15, 15\]\}/);
  assert.match(told, /id: pinguicula-x-weser, taxon: "Pinguicula × 'Weser'", place: place-water-2/);
});
