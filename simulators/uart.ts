/** Bits of a byte on the wire: a start bit, eight data bits, a stop bit. */
const BITS_PER_BYTE = 10;

/** How finely the receiver looks for a start bit, as usual for its kind: 16 times a bit. */
const LOOKS_PER_BIT = 16;

/**
 * What a receiver at one rate makes of bytes sent back to back at another, 8N1. It waits for the line to fall,
 * samples the middles of its own bits, and takes a byte whose stop bit is missing for a zero, as a terminal does
 * that neither ignores nor marks such bytes (POSIX termios: IGNPAR and PARMRK clear).
 *
 *     idle ‾‾‾\__/‾‾\__ … start, bit 0 … bit 7, stop
 *
 * @returns the same bytes at the same rate; others, more or fewer, otherwise
 * @example [...heardBytes(Buffer.from("U"), 9600, 9600)] // [85]
 */
export function heardBytes(sent: Buffer, sentBaud: number, heardBaud: number): Buffer {
  if (sentBaud === heardBaud) return sent;
  const ownBit = sentBaud / heardBaud;
  const heard: number[] = [];
  const end = sent.length * BITS_PER_BYTE;
  for (let at = 0; at < end; ) {
    if (levelAt(sent, at) === 1) {
      at += ownBit / LOOKS_PER_BIT;
      continue;
    }
    const bit = (index: number) => levelAt(sent, at + (index + 0.5) * ownBit);
    let byte = 0;
    for (let index = 0; index < 8; index += 1) byte |= bit(index + 1) << index;
    heard.push(bit(BITS_PER_BYTE - 1) === 1 ? byte : 0);
    at = risenAfter(sent, at + (BITS_PER_BYTE - 0.5) * ownBit, ownBit, end);
  }
  return Buffer.from(heard);
}

/** The line at a moment counted in the sender's bits: 1 when idle. */
function levelAt(sent: Buffer, atBits: number): number {
  const byte = sent[Math.floor(atBits / BITS_PER_BYTE)];
  const bit = Math.floor(atBits % BITS_PER_BYTE);
  if (byte === undefined || bit === BITS_PER_BYTE - 1) return 1;
  return bit === 0 ? 0 : (byte >> (bit - 1)) & 1;
}

/** After a byte the receiver waits until the line is high again. */
function risenAfter(sent: Buffer, fromBits: number, ownBit: number, end: number): number {
  let at = fromBits;
  while (at < end && levelAt(sent, at) === 0) at += ownBit / LOOKS_PER_BIT;
  return at;
}
