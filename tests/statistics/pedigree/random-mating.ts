/**
 * A large random-mating flock with records, the same integers on any machine: a multiplicative congruential
 * generator (Park & Miller 1988, Commun. ACM 31:1192-1201; multiplier 48271), normals as sums of twelve.
 * tests/reference/pedigree.json holds the answers of another program for the flock of 10,000.
 */
export interface RandomMatingFlock {
  readonly sire: Int32Array;
  readonly dam: Int32Array;
  readonly herd: Int32Array;
  readonly male: Float64Array;
  readonly y: Float64Array;
}

export const HERDS = 50;
const MODULUS = 2147483647;
const SEED = 44000;

export function randomMatingFlock(animals: number): RandomMatingFlock {
  const chosen = { sire: uniforms(animals, SEED + 1), dam: uniforms(animals, SEED + 2) };
  const lost = uniforms(animals, SEED + 3);
  const founders = Math.floor(animals / 10);
  const window = Math.floor(animals / 4);
  const sire = new Int32Array(animals);
  const dam = new Int32Array(animals);
  for (let k = 0; k < animals; k++) {
    const own = k + 1;
    const oldest = Math.max(1, own - window);
    const pick = oldest + Math.floor(chosen.sire[k] * (own - oldest));
    let s = Math.max(20, 20 * Math.floor(pick / 20));
    let d = oldest + Math.floor(chosen.dam[k] * (own - oldest));
    if (d % 20 === 0) d += 1;
    if (own <= founders || s >= own || d >= own) {
      s = 0;
      d = 0;
    }
    sire[k] = (lost[k] < 0.05 ? 0 : s) - 1;
    dam[k] = (lost[k] > 0.97 ? 0 : d) - 1;
  }
  const herd = Int32Array.from(uniforms(animals, SEED + 4), (u) => Math.floor(u * HERDS));
  const male = uniforms(animals, SEED + 5).map((u) => Number(u < 0.5));
  return { sire, dam, herd, male, y: outcomes(sire, dam, herd, male) };
}

function outcomes(sire: Int32Array, dam: Int32Array, herd: Int32Array, male: Float64Array): Float64Array {
  const animals = sire.length;
  const sampling = normals(animals, SEED + 6);
  const error = normals(animals, SEED + 7);
  const herdEffect = normals(HERDS, SEED + 8);
  const value = new Float64Array(animals);
  for (let k = 0; k < animals; k++) {
    const known = Number(sire[k] >= 0) + Number(dam[k] >= 0);
    const fromParents = (sire[k] >= 0 ? value[sire[k]] / 2 : 0) + (dam[k] >= 0 ? value[dam[k]] / 2 : 0);
    value[k] = fromParents + Math.sqrt(0.3) * Math.sqrt(1 - known / 4) * sampling[k];
  }
  return Float64Array.from(value, (a, k) => {
    const y = 10 + 0.8 * male[k] + 0.5 * herdEffect[herd[k]] + a + Math.sqrt(0.7) * error[k];
    return Math.floor(y * 1e6 + 0.5) / 1e6;
  });
}

function stream(seed: number): () => number {
  let state = seed % MODULUS || 1;
  for (let i = 0; i < 16; i++) state = (48271 * state) % MODULUS;
  return () => {
    state = (48271 * state) % MODULUS;
    return state / MODULUS;
  };
}

function uniforms(count: number, seed: number): Float64Array {
  const next = stream(seed);
  return Float64Array.from({ length: count }, next);
}

function normals(count: number, seed: number): Float64Array {
  const next = stream(seed);
  return Float64Array.from({ length: count }, () => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += next();
    return sum;
  });
}
