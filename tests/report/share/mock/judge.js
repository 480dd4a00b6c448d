/** Invented answers: the flytrap makes it conditional, two pitcher plants clash, a mere name leaves it unproven. */
const winter = [11, 0, 1, 2];
const finding = (severity, rule, says, act, plants) =>
  ({ severity, certain: true, plants, rule, says, do: act, months: winter });

export function judge(knowledge, ids) {
  const has = (id) => ids.includes(id);
  const clash = has("nepenthes/bicalcarata") && has("nepenthes/villosa");
  const rest = ids.filter((id) => id.startsWith("dionaea") || id.startsWith("sarracenia"));
  const name = ids.some((id) => id.startsWith("utricularia"));
  const windows = Array.from({ length: 12 }, (_, m) => {
    const cold = rest.length && winter.includes(m);
    return { temperature_day: cold ? [11.5, 16.5] : [17, 33.5], temperature_night: cold ? [4.5, 8.5] : [10.5, 22.5],
      night_drop: [-5.5, 23], photoperiod: cold ? [8.5, 11] : [12, 17.5], humidity: [45, 90] };
  });
  const points = windows.map((w) => Object.fromEntries(Object.entries(w).map(([k, [a, b]]) => [k, (a + b) / 2])));
  return {
    verdict: clash ? "unsound" : name ? "unproven" : rest.length ? "conditional" : "sound",
    level: clash ? "none" : rest.length > 1 ? "half" : "full",
    regime: clash ? null
      : { id: "x", title: rest.length ? "a cool, short-day winter" : "warm days all year, no night below 10 °C" },
    windows: clash ? null : windows, points: clash ? null : points,
    years: clash ? [] : ids.map((id) => id.startsWith("sarracenia") ? { id, way: "out", lifted: winter, rests: [] }
      : { id, way: "in", lifted: [], rests: rest.includes(id)
        ? [{ key: "in/cold", kind: "cold", where: "in-case", months: winter }] : [] }),
    beds: has("pinguicula/moranensis") && ids.length > 1
      ? [ids.filter((i) => !i.startsWith("ping")), ["pinguicula/moranensis"]] : [ids],
    lights: ids.length > 1 ? [ids.slice(0, 1), ids.slice(1)] : [ids],
    findings: [
      clash && finding("blocker", "group-cannot-share", "No single enclosure serves these plants all year.",
        "Split the group into two.", ["nepenthes/bicalcarata", "nepenthes/villosa"]),
      rest.length
        && finding("condition", "lift-out-for-rest", "One plant must rest elsewhere in {months}.",
          "Four weeks before, give it less light.", rest),
      finding("caution", "invasive-never-release", "One plant is reported as invasive where it was brought in.",
        "Never plant it out.", ids.slice(0, 1)),
      finding("note", "cites-papers", "One stands in CITES Appendix II.", "", ids.slice(0, 1)),
    ].filter(Boolean),
    clashes: clash
      ? [{ axis: "temperature_night", plants: ["nepenthes/bicalcarata", "nepenthes/villosa"], gap: 4.2, month: 5,
        regime: { id: "even", title: "warm days all year" } }] : [],
    drops: clash ? [["nepenthes/bicalcarata"], ["nepenthes/villosa"]] : [],
    readings: has("drosera/filiformis")
      ? [{ label: "Drosera filiformis as Florida Red", verdict: "sound" },
        { label: "Drosera filiformis as the northern form", verdict: "conditional" }] : [],
  };
}

export function* others(knowledge, ids) {
  for (const plant of knowledge.plants)
    if (!ids.includes(plant.id)) yield { id: plant.id,
      verdict: judge(knowledge, [...ids, plant.id]).verdict === "unsound" ? "unsound" : "sound",
        margin: plant.name.length };
}
