// What a plant tolerates, for comparison and for conditions that a grower has measured.

/** {axis: {low, high, low_if, high_if, prefers}}: what it surely tolerates and at best; null where nobody knows. */
export function bands(knowledge, id, phase = "growth") {
  const { ask } = knowledge.asking(id);
  const found = ask.phases.find((p) => (phase === "growth" ? !p.rest : p.rest?.key === phase));
  return Object.fromEntries(
    Object.entries(found?.bands ?? {}).map(([axis, { low, high, prefers }]) => [
      axis,
      { low: low?.[0] ?? null, low_if: low?.[1] ?? null, high: high?.[0] ?? null, high_if: high?.[1] ?? null, prefers: prefers ?? null,
        open: { low: low === undefined, high: high === undefined } },
    ]),
  );
}
