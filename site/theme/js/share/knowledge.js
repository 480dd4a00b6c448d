// The exported knowledge, read once: plants with what they ask of a case, regimes, and what the rules say.

import { Arenas, Yearbook } from "./arena.js";
import { fetched } from "./fetched.js";
import { Frame } from "./frame.js";

/** Fetch and read data/share.json. */
export const load = async (url) => new Knowledge(JSON.parse(await fetched(url)));

export class Knowledge {
  constructor(data) {
    this.data = data;
    this.axes = data.axes;
    this.plants = data.plants;
    this.rules = data.rules;
    this._byId = new Map(data.plants.map((p) => [p.id, p]));
    this._candidates = new Map();
  }

  // what only a search needs is read when the first begins: the page itself searches nothing where it has a worker

  get frame() {
    return (this._frame ??= new Frame(this.data.frame));
  }

  get boxes() {
    return (this._boxes ??= this.data.boxes.map((box) => this.frame.read(box)));
  }

  get regimes() {
    return (this._regimes ??= this.data.regimes.map((r) => ({ ...r, boxes: r.boxes.map((b) => this.boxes[b]) })));
  }

  /** Yearbooks of every regime by strictness; those that keep the same share of the control error clear are one. */
  get books() {
    if (!this._books) {
      const { errors } = this.data;
      const made = (error) => this.regimes.map((r) => new Yearbook(r, this.frame, error));
      const byError = new Map(errors.map((error) => [error, made(error)]));
      this._books = [...errors, ...errors].map((error) => byError.get(error));
    }
    return this._books;
  }

  /** Itself, with all of that read. */
  prepared() {
    this.books;
    return this;
  }

  plant(id) {
    return this._byId.get(id);
  }

  /** What a plant asks, under one reading of what its sources disagree on (null: all of them at once). */
  asking(id, reading = null) {
    const plant = this.plant(id);
    const { ask, traits } = reading === null ? plant : plant.readings[reading];
    return { id, number: ask, ask: this.data.asks[ask], traits };
  }

  /** Its years at a strictness (0-2 certain, 3-5 at best), years that ask the same of every month collapsed. */
  candidate(asking, strictness) {
    const places = asking.ask.phases.map((phase) => phase.boxes[strictness]);
    const key = `${asking.ask.years} ${places}`; // what asks the same is known the same, at whatever strictness
    let years = this._candidates.get(key);
    if (!years) {
      const boxes = places.map((place) => this.boxes[place]);
      const seen = new Map();
      this.data.years[asking.ask.years].forEach(([effort, phases, away], number) => {
        const absent = new Set(away);
        const months = phases.map((phase, m) => (absent.has(m) ? null : boxes[phase]));
        const same = months.map((box) => (box ? box.id : "-")).join();
        if (!seen.has(same)) seen.set(same, { number, cost: [Math.min(absent.size, 1), effort], absent, phases, boxes: months });
      });
      years = [...seen.values()];
      this._candidates.set(key, years);
    }
    return { id: asking.id, years };
  }

  /** Plants, as `asking` gives them, under every regime at a strictness. */
  arenas(askings, strictness) {
    return new Arenas(askings.map((a) => this.candidate(a, strictness)), this.books[strictness]);
  }

  findings(set) {
    return this.data.sets[set].map((place) => this.data.findings[place]);
  }
}

/** The value of a year where all years share one, or its own. */
export const ofYear = (value, number) => (Array.isArray(value) ? value[number] : value);
