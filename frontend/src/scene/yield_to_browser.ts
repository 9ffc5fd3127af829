// Long work in short bits, so that the page hears clicks and keys in between.

const LONGEST_MS = 12;

/** Counts the time since the page last had its turn. */
export class Breath {
  private since = performance.now();

  /** Go on at once, or after the page has had its turn when it has waited for long. */
  async taken(): Promise<void> {
    if (performance.now() - this.since < LONGEST_MS) return;
    await turn();
    this.since = performance.now();
  }
}

/** Give the page its turn. A channel, because timers are slowed in a row and frames stop in the background. */
export function turn(): Promise<void> {
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      done();
    };
    port2.postMessage(0);
  });
}
