// Names of entries and runs: UUID version 7 (RFC 9562), which sort by the time at which they were made.
// `crypto.randomUUID` is missing on pages served without https; `crypto.getRandomValues` is there on every page.

const RANDOM_BITS = 74n;
const MOST_RANDOM = (1n << RANDOM_BITS) - 1n;
// A clock that the network puts right goes back by some seconds; within them the order of making is kept.
const CLOCK_MAY_GO_BACK_MS = 10000;
const newest = { ms: -Infinity, random: 0n };

/**
 * Return a random whole number of some bits.
 * @param {number} bits
 * @returns {bigint}
 */
function randomWhole(bits) {
  const bytes = crypto.getRandomValues(new Uint8Array(Math.ceil(bits / 8)));
  return bytes.reduce((sum, each) => (sum << 8n) | BigInt(each), 0n) & ((1n << BigInt(bits)) - 1n);
}

/**
 * Return a new UUID version 7; later ones of the same page are greater, also within a millisecond.
 * @param {number} [nowMs] time by the clock of the device [ms since 1970]
 * @returns {string}
 */
export function newId(nowMs = Date.now()) {
  const now = Math.max(0, Math.floor(nowMs));
  const random = newest.random + 1n + randomWhole(32);
  if (now <= newest.ms && now > newest.ms - CLOCK_MAY_GO_BACK_MS && random <= MOST_RANDOM) {
    newest.random = random;
  } else {
    newest.ms = now;
    // The first bit stays free, so that there is room to count on within the millisecond.
    newest.random = randomWhole(Number(RANDOM_BITS) - 1);
  }
  const high = newest.random >> 62n;
  const low = newest.random & ((1n << 62n) - 1n);
  const whole = (BigInt(newest.ms) << 80n) | (7n << 76n) | (high << 64n) | (2n << 62n) | low;
  const digits = whole.toString(16).padStart(32, "0");
  return [digits.slice(0, 8), digits.slice(8, 12), digits.slice(12, 16), digits.slice(16, 20), digits.slice(20)].join("-");
}
