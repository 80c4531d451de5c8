/** Draws numbers, the same ones again for the same seed. */
export interface RandomStream {
  /** Evenly spread, 0 ≤ value < 1. */
  uniform(): number;
  /** Normal deviate: mean 0, standard deviation 1. */
  normal(): number;
}

/**
 * A stream of random numbers that can be repeated exactly: the small fast counter generator of 32 bits
 * (sfc32, public domain), with normal deviates by Box and Muller (1958).
 * @param seed whole number
 * @param use  what it is drawn for, so that one seed gives unlike streams
 */
export function randomStream(seed: number, use: string): RandomStream {
  let [a, b, c, counter] = [seed | 0, Math.floor(seed / 2 ** 32) | 0, hash(use), 1];
  const uniform = () => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return (sum >>> 0) / 2 ** 32;
  };
  for (let mixing = 0; mixing < 15; mixing += 1) uniform();
  return {
    uniform,
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
}

/** The 32-bit FNV-1a hash of a word. */
function hash(word: string): number {
  let value = 0x811c9dc5;
  for (const letter of word) value = Math.imul(value ^ (letter.codePointAt(0) ?? 0), 0x01000193);
  return value;
}
