// Waiting for pictures: until something is seen, and never for too long.

const STEADY_MS = 30;
const SEEN_AT_LAST_MS = 3000; // a page in the background is not painted at all

export function atMost(time: number, work: Promise<void>): Promise<void> {
  return Promise.race([work, new Promise<void>((done) => setTimeout(done, time))]);
}

// Until the page was not only laid out but seen, and frames come at a steady pace: whoever asks
// the graphics for more while they still paint the page holds it up.
export function painted(): Promise<void> {
  return new Promise((done) => {
    const begun = performance.now();
    let last = 0;
    const look = (now: number): void => {
      const pace = now - last;
      last = now;
      if (pace < STEADY_MS || performance.now() - begun > SEEN_AT_LAST_MS) done();
      else requestAnimationFrame(look);
    };
    setTimeout(done, SEEN_AT_LAST_MS);
    new PerformanceObserver((list) => {
      if (list.getEntriesByName("first-contentful-paint").length) requestAnimationFrame(look);
    }).observe({ type: "paint", buffered: true });
  });
}
