// Long work done a little at a time, so that whoever waits has a turn.

const SLICE = 12; // ms

/** Takes what an iterator gives, as a list a turn, until it ends or alive() is false; before each turn resting() ms are
 * waited.
 */
export function inSlices(iterator, alive, take, resting = () => 0) {
  const turn = () => {
    if (!alive()) return;
    const wait = resting();
    if (wait) return void setTimeout(turn, wait);
    const found = [];
    const end = performance.now() + SLICE;
    let next;
    do {
      next = iterator.next();
      if (!next.done) found.push(next.value);
      // a verdict is not kept waiting for what follows it
    } while (!next.done && next.value.result === undefined && performance.now() < end);
    take(found);
    if (!next.done) setTimeout(turn, 0);
  };
  turn();
}
