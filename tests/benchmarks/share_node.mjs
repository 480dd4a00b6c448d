// The share check's answers to groups of ids, one JSON list a line; run by the scripts of this folder with Node.
// Arguments: folder of the page's modules, file of its data.

import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";

const [folder, file] = process.argv.slice(2);
const module = (name) => import(`${pathToFileURL(folder)}/${name}.js`);
const [{ Knowledge }, { judge }] = [await module("knowledge"), await module("judge")];
const data = JSON.parse(readFileSync(file, "utf8"));

for await (const line of createInterface({ input: process.stdin })) {
  const knowledge = new Knowledge(data); // anew: what was learnt of pairs would fill the memory
  const told = JSON.parse(line).map((ids) => {
    const { verdict, level, regime, beds, points, findings, readings } = judge(knowledge, ids, false);
    return {
      verdict, level, regime: regime?.id ?? null, beds, points: points ?? [],
      findings: findings.map((f) => [f.rule, f.certain, [...f.plants].sort()]),
      readings: readings.map((r) => r.verdict),
    };
  });
  process.stdout.write(`${JSON.stringify(told)}\n`);
}
