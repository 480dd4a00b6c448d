/** Invented bands: figures as [strict, loose], the upper end of humidity open. */
const band = (low, high) => ({
  low: low?.[0] ?? null, low_if: low?.[1] ?? null, high: high?.[0] ?? null, high_if: high?.[1] ?? null,
    open: { low: !low, high: !high },
});

export const bands = (knowledge, id, phase = "growth") => ({
  temperature_day: band([18, 12], [28 + (id.length % 5), 34]),
  temperature_night: phase === "growth" ? band([10, 8], [20, 24]) : band([1, -2], [9, 9]),
  humidity: band([45, 40], null),
  ppfd: band([80, 60], [400, 600]),
  solids_supply: band(null, [50, 100]),
});
