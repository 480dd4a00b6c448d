/** The choice as the query of an address: ?plants=drosera/capensis,dionaea/muscipula&south. Pure. */

export const MOST_PLANTS = 40;

/** known : id → true or false. Returns {plants, unknown, south, over}: repeated ids count once. */
export function readAddress(query, known) {
  const fields = new URLSearchParams(query);
  const asked = [...new Set((fields.get("plants") ?? "").split(",").map((id) => id.trim()).filter(Boolean))];
  const plants = asked.filter(known);
  return {
    plants: plants.slice(0, MOST_PLANTS),
    unknown: asked.filter((id) => !known(id)),
    over: plants.length > MOST_PLANTS,
    south: fields.has("south"),
  };
}

/** The query of a choice, "" for none; slashes and commas stay readable. */
export function writeAddress(plants, south) {
  const ids = plants.map((id) => encodeURIComponent(id).replaceAll("%2F", "/")).join(",");
  const parts = [ids && `plants=${ids}`, south && "south"].filter(Boolean);
  return parts.length ? `?${parts.join("&")}` : "";
}
