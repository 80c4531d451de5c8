import type { Tuning } from "#daemon/link/hearing";

/** A line that rests is high; a byte is a low start bit, its bits from the lowest, parity, and a high stop bit. */
type Bit = 0 | 1;

/** So many idle bits stand between two bytes: none, as a UART that has more to send does it. */
const IDLE_BITS_AFTER = 30;

/**
 * What a UART receives at its own rate of what another one sends at another: the bits of an asynchronous line
 * are drawn in time and sampled in the middle of where the receiver believes them. A byte without its stop bit
 * comes as NUL, as a terminal without PARMRK gives it (termios).
 */
export function received(sent: string | Uint8Array, sender: Tuning, receiver: Tuning): Buffer {
  const bytes = typeof sent === "string" ? Buffer.from(sent) : sent;
  const bits = [...bytes].flatMap((byte) => sentBits(byte, sender.framing));
  const level = (seconds: number): Bit => bits[Math.floor(seconds * sender.baudRate)] ?? 1;
  const end = (bits.length + IDLE_BITS_AFTER) / sender.baudRate;
  return Buffer.from(sampled(level, end, receiver));
}

function sentBits(byte: number, framing: Tuning["framing"]): Bit[] {
  const data = bitsOf(byte, Number(framing[0]));
  const ones = data.filter((bit) => bit === 1).length;
  const parity: Bit[] = framing[1] === "N" ? [] : [((framing[1] === "E" ? ones : ones + 1) % 2) as Bit];
  return [0, ...data, ...parity, ...Array<Bit>(Number(framing[2])).fill(1)];
}

function sampled(level: (seconds: number) => Bit, end: number, { baudRate, framing }: Tuning): number[] {
  const dataBits = Number(framing[0]);
  const bitsBeforeStop = 1 + dataBits + (framing[1] === "N" ? 0 : 1);
  const bit = 1 / baudRate;
  const bytes: number[] = [];
  for (let now = 0; now < end; ) {
    if (level(now) === 1) {
      now += bit / 16;
      continue;
    }
    const at = (index: number) => level(now + (index + 0.5) * bit);
    const data = Array.from({ length: dataBits }, (_, index) => at(index + 1));
    const isFramed = at(bitsBeforeStop) === 1;
    bytes.push(isFramed ? data.reduce<number>((byte, one, index) => byte | (one << index), 0) : 0);
    now += (bitsBeforeStop + 0.5) * bit;
  }
  return bytes;
}

function bitsOf(byte: number, count: number): Bit[] {
  return Array.from({ length: count }, (_, index) => ((byte >> index) & 1) as Bit);
}
