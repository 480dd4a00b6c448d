/** Invented bands. */
export const bands = (knowledge, id, phase = "growth") => ({
  temperature_day: { low: 18, high: 28 + (id.length % 5), low_if: 12, high_if: 34 + (id.length % 4) },
  temperature_night: { low: phase === "growth" ? 10 : 1, high: phase === "growth" ? 20 : 9, low_if: phase === "growth" ? 8 : -2, high_if: null },
  humidity: { low: 45, high: null, low_if: 40, high_if: null },
  photoperiod: { low: null, high: null, low_if: null, high_if: null },
  ppfd: { low: 80, high: 400, low_if: 60, high_if: 600 },
  solids_supply: { low: 0, high: 50, low_if: 0, high_if: 100 },
});
