/**
 * SHA-256 of some bytes, as 64 lower-case hexadecimal digits (FIPS 180-4, sections 4 to 6). It names a
 * sheet by its content, so that the same bytes are known again on any machine and in a browser.
 */
export function sha256(bytes: Uint8Array): string {
  const state = Uint32Array.from(INITIAL);
  const schedule = new Uint32Array(64);
  const whole = bytes.length - (bytes.length % BLOCK);
  for (let at = 0; at < whole; at += BLOCK) compress(state, schedule, bytes, at);
  const tail = padded(bytes, whole);
  for (let at = 0; at < tail.length; at += BLOCK) compress(state, schedule, tail, at);
  return Array.from(state, (word) => word.toString(16).padStart(8, "0")).join("");
}

const BLOCK = 64;

/** The last bytes, a one bit, zeros, and the length in bits as a 64-bit number. */
function padded(bytes: Uint8Array, from: number): Uint8Array {
  const left = bytes.length - from;
  const tail = new Uint8Array(left + 9 <= BLOCK ? BLOCK : 2 * BLOCK);
  tail.set(bytes.subarray(from));
  tail[left] = 0x80;
  const view = new DataView(tail.buffer);
  view.setUint32(tail.length - 8, Math.floor(bytes.length / 0x20000000));
  view.setUint32(tail.length - 4, (bytes.length << 3) >>> 0);
  return tail;
}

function compress(state: Uint32Array, w: Uint32Array, bytes: Uint8Array, at: number): void {
  for (let t = 0; t < 16; t++) {
    const i = at + 4 * t;
    w[t] = (bytes[i]! << 24) | (bytes[i + 1]! << 16) | (bytes[i + 2]! << 8) | bytes[i + 3]!;
  }
  for (let t = 16; t < 64; t++) {
    const x = w[t - 15]!;
    const y = w[t - 2]!;
    const small0 = ((x >>> 7) | (x << 25)) ^ ((x >>> 18) | (x << 14)) ^ (x >>> 3);
    const small1 = ((y >>> 17) | (y << 15)) ^ ((y >>> 19) | (y << 13)) ^ (y >>> 10);
    w[t] = (w[t - 16]! + small0 + w[t - 7]! + small1) | 0;
  }
  let a = state[0]!;
  let b = state[1]!;
  let c = state[2]!;
  let d = state[3]!;
  let e = state[4]!;
  let f = state[5]!;
  let g = state[6]!;
  let h = state[7]!;
  for (let t = 0; t < 64; t++) {
    const big1 = ((e >>> 6) | (e << 26)) ^ ((e >>> 11) | (e << 21)) ^ ((e >>> 25) | (e << 7));
    const choose = (e & f) ^ (~e & g);
    const first = (h + big1 + choose + ROUND[t]! + w[t]!) | 0;
    const big0 = ((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10));
    const majority = (a & b) ^ (a & c) ^ (b & c);
    const second = (big0 + majority) | 0;
    h = g;
    g = f;
    f = e;
    e = (d + first) | 0;
    d = c;
    c = b;
    b = a;
    a = (first + second) | 0;
  }
  state[0]! += a;
  state[1]! += b;
  state[2]! += c;
  state[3]! += d;
  state[4]! += e;
  state[5]! += f;
  state[6]! += g;
  state[7]! += h;
}

const PRIMES = firstPrimes(64);

/** First 32 bits of the fractional parts of the cube roots of the first 64 primes. */
const ROUND = Uint32Array.from(PRIMES, (prime) => fraction(Math.cbrt(prime)));

/** First 32 bits of the fractional parts of the square roots of the first 8 primes. */
const INITIAL = Uint32Array.from(PRIMES.slice(0, 8), (prime) => fraction(Math.sqrt(prime)));

function fraction(root: number): number {
  return Math.floor((root - Math.floor(root)) * 0x100000000) >>> 0;
}

function firstPrimes(count: number): number[] {
  const primes: number[] = [];
  for (let n = 2; primes.length < count; n++) {
    if (primes.every((prime) => n % prime !== 0)) primes.push(n);
  }
  return primes;
}
