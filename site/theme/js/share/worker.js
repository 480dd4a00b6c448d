// The answers of the share check, found beside the page: first the text of the knowledge comes, then choices.

import { answers } from "./answers.js";
import { Knowledge } from "./knowledge.js";
import { inSlices } from "./slices.js";

let knowledge = null;
let latest = 0;

self.addEventListener("message", ({ data }) => {
  if (data.text !== undefined) {
    knowledge = new Knowledge(JSON.parse(data.text)).prepared();
    return;
  }
  const { round, ids } = data;
  latest = round;
  inSlices(answers(knowledge, ids), () => round === latest, (parts) => self.postMessage({ round, parts }));
});
