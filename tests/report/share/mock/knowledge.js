/** Invented plants for trying the page without the real knowledge. */
const axis = (title, unit, shared = "case") => ({ title, unit, shared });
const plant = (id, name, common = [], synonyms = [], known = "profile") =>
  ({ id, name, common, synonyms, url: `plants/${id}/`, genus: id.split("/")[0], known });

export async function load() {
  if (new URLSearchParams(location.search).has("fail")) throw new Error("invented failure");
  const plants = [
    plant("drosera/capensis", "Drosera capensis", ["Cape sundew"]),
    plant("drosera/spatulata", "Drosera spatulata", ["spoon-leaved sundew"]),
    plant("pinguicula/moranensis", "Pinguicula moranensis", [], ["Pinguicula caudata"]),
    plant("dionaea/muscipula", "Dionaea muscipula", ["Venus flytrap"]),
    plant("sarracenia/flava", "Sarracenia flava", ["yellow trumpet"]),
    plant("drosera/filiformis", "Drosera filiformis"),
    plant("nepenthes/bicalcarata", "Nepenthes bicalcarata"),
    plant("nepenthes/villosa", "Nepenthes villosa"),
    plant("heliamphora/nutans", "Heliamphora nutans"),
    plant("drosera/capensis/alba", "Drosera capensis 'Alba'"),
  ];
  for (let n = 0; n < 60; n += 1) plants.push(plant(`utricularia/invented-${n}`, `Utricularia inventa${n}`, [], [],
    "name-only"));
  return {
    plants,
    axes: {
      temperature_day: axis("air by day", "degC"), temperature_night: axis("air by night", "degC"),
      night_drop: axis("drop from day to night", "K"), photoperiod: axis("hours of light", "h"),
        humidity: axis("humidity", "%"),
      ppfd: axis("light at the leaf", "umol m-2 s-1", "place"), dli: axis("light a day", "mol m-2 d-1", "place"),
      solids_supply: axis("solids in the supplied water", "mg/L", "water-unit"),
    },
    rules: { "group-cannot-share": "No single enclosure serves the group",
      "lift-out-for-rest": "Take it out for its rest" },
  };
}
