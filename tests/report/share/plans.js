/** Prints the plan of every choice in the JSON list on the standard input, as a JSON list. */

import { readFileSync } from "node:fs";

import { planText } from "./share/page_plan.js";

process.stdout.write(JSON.stringify(JSON.parse(readFileSync(0, "utf8")).map(planText)));
