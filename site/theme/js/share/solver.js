/** Asks for answers: of a worker, or where the browser has no module workers of the page's own thread, in slices. */

import { answers } from "./answers.js";
import { inSlices } from "./slices.js";

const PAUSE = 600; // ms for which work on the page's own thread rests after a key

let typedAt = -PAUSE;
document.addEventListener("keydown", () => { typedAt = performance.now(); }, true);

/** text : the knowledge as it was loaded; knowledge : the same, read. Returns ask(ids, take): take(parts) hears the
 * parts of the answer as they are found, until another choice is asked about.
 */
export function solver(text, knowledge) {
  let latest = { round: 0 };
  let worker = started();

  function started() {
    try {
      const made = new Worker(new URL("./worker.js", import.meta.url), { type: "module" });
      made.addEventListener("message", ({ data }) => { if (data.round === latest.round) latest.take(data.parts); });
      made.addEventListener("error", (event) => {
        event.preventDefault();
        alone();
      });
      made.postMessage({ text });
      return made;
    } catch {
      return null;
    }
  }

  /** Goes on without a worker; the answer it owed is begun anew. */
  function alone() {
    worker.terminate();
    worker = null;
    if (latest.ids) find();
  }

  function find() {
    const mine = latest;
    if (worker) return worker.postMessage({ round: mine.round, ids: mine.ids });
    const resting = () => (mine.told && performance.now() - typedAt < PAUSE ? PAUSE : 0);
    const take = (parts) => {
      mine.take(parts);
      mine.told ||= parts.some((part) => part.kind === "answer");
    };
    setTimeout(() => inSlices(answers(knowledge, mine.ids), () => mine === latest, take, resting), 0);
  }

  return (ids, take) => {
    latest = { round: latest.round + 1, ids, take, told: false };
    if (ids.length) find();
  };
}
