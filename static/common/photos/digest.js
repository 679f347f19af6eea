// SHA-256 of a file, piece by piece (FIPS 180-4). The browser's own is only there on this machine and under https, not on
// a phone that reaches the catalogue over the home network; and it would need the whole file in memory at once.
const PIECE = 1 << 20;

function primes(count) {
  const found = [];
  for (let n = 2; found.length < count; n++) if (found.every((p) => n % p)) found.push(n);
  return found;
}

const firstBits = (x) => ((x - Math.floor(x)) * 2 ** 32) | 0;
const K = Int32Array.from(primes(64), (p) => firstBits(Math.cbrt(p)));
const START = Int32Array.from(primes(8), (p) => firstBits(Math.sqrt(p)));
const turn = (x, n) => (x >>> n) | (x << (32 - n));

function mix(state, bytes, from, w) {
  for (let i = 0; i < 16; i++) {
    const at = from + i * 4;
    w[i] = (bytes[at] << 24) | (bytes[at + 1] << 16) | (bytes[at + 2] << 8) | bytes[at + 3];
  }
  for (let i = 16; i < 64; i++) {
    const a = w[i - 15];
    const b = w[i - 2];
    w[i] = w[i - 16] + w[i - 7] + (turn(a, 7) ^ turn(a, 18) ^ (a >>> 3)) + (turn(b, 17) ^ turn(b, 19) ^ (b >>> 10));
  }
  let [a, b, c, d, e, f, g, h] = state;
  for (let i = 0; i < 64; i++) {
    const t1 = (h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + K[i] + w[i]) | 0;
    const t2 = ((turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + t1) | 0, c, b, a, (t1 + t2) | 0];
  }
  [a, b, c, d, e, f, g, h].forEach((value, i) => (state[i] += value));
}

/** The digest of a File or Blob as 64 hexadecimal letters. */
export async function digestOf(blob) {
  const state = Int32Array.from(START);
  const w = new Int32Array(64);
  for (let from = 0; from + PIECE <= blob.size; from += PIECE) {
    const bytes = new Uint8Array(await blob.slice(from, from + PIECE).arrayBuffer());
    for (let at = 0; at < PIECE; at += 64) mix(state, bytes, at, w);
  }
  const rest = new Uint8Array(await blob.slice(blob.size - (blob.size % PIECE)).arrayBuffer());
  const last = new Uint8Array(Math.ceil((rest.length + 9) / 64) * 64);
  last.set(rest);
  last[rest.length] = 0x80;
  const view = new DataView(last.buffer);
  view.setUint32(last.length - 8, Math.floor(blob.size / 2 ** 29));
  view.setUint32(last.length - 4, (blob.size * 8) >>> 0);
  for (let at = 0; at < last.length; at += 64) mix(state, last, at, w);
  return Array.from(state, (word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
}
