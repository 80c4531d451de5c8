import type { InstrumentReading } from "#simulators/instrument-reading";
import type { Registers } from "#simulators/modbus-slave";

/** What integer registers hold for a value that there is none of, the lowest that they can; above the range, the highest. */
const NO_INT16 = -0x8000;
const MOST_INT16 = 0x7fff;
const NO_INT32 = -0x8000_0000;
const MOST_INT32 = 0x7fff_ffff;

/**
 * The registers of the bench's Modbus instrument (an invented map), the same ones as input and as holding registers;
 * the addresses between them are refused.
 *
 *      0      chamber           int16   ×0.1 °C      0x8000 without a temperature, 0x7FFF above the range
 *      1      cold junction     int16   ×0.1 °C
 *      2      pressure          uint16  ×0.1 hPa
 *      3      heater duty       uint16  ×0.001
 *      4– 5   own elapsed time  uint32  ×0.1 s       high word first
 *     10–11   chamber           float32 °C           ABCD; NaN without a temperature, ±∞ out of range
 *     12–13   chamber           float32 °C           CDAB: low word first
 *     14–15   chamber           int32   ×0.001 °C    0x80000000 without a temperature, 0x7FFFFFFF above the range
 *     16–17   EMF               int32   ×0.0001 mV   0x80000000 without an EMF
 */
export function modbusRegisters(reading: InstrumentReading): Registers {
  const { celsius, millivolts, sensorWord } = reading;
  const [noInt16, noInt32] = sensorWord === "above-range" ? [MOST_INT16, MOST_INT32] : [NO_INT16, NO_INT32];
  const tenths = (value: number) => Math.round(value * 10);
  const chamber = float32Words(celsius ?? floatFor(sensorWord));
  return registers([
    [0, int16Words(celsius === null ? noInt16 : tenths(celsius))],
    [1, int16Words(tenths(reading.coldJunctionCelsius))],
    [2, uint16Words(tenths(reading.hectopascals))],
    [3, uint16Words(Math.round(reading.heaterDutyFraction * 1000))],
    [4, int32Words(tenths(reading.elapsedSeconds))],
    [10, chamber],
    [12, [...chamber].reverse()],
    [14, int32Words(celsius === null ? noInt32 : Math.round(celsius * 1000))],
    [16, int32Words(millivolts === null ? NO_INT32 : Math.round(millivolts * 10_000))],
  ]);
}

function registers(blocks: readonly (readonly [address: number, words: readonly number[]])[]): Registers {
  return new Map(
    blocks.flatMap(([address, words]) => words.map((word, index) => [address + index, word] as const)),
  );
}

function int16Words(value: number): number[] {
  return [Math.min(MOST_INT16, Math.max(NO_INT16, value)) & 0xffff];
}

function uint16Words(value: number): number[] {
  return [Math.min(0xffff, Math.max(0, value))];
}

function int32Words(value: number): number[] {
  return [(value >>> 16) & 0xffff, value & 0xffff];
}

/** What a float holds in place of a temperature. */
function floatFor(word: InstrumentReading["sensorWord"]): number {
  if (word === "above-range") return Number.POSITIVE_INFINITY;
  return word === "below-range" ? Number.NEGATIVE_INFINITY : Number.NaN;
}

function float32Words(value: number): number[] {
  const bytes = Buffer.alloc(4);
  bytes.writeFloatBE(value);
  return [bytes.readUInt16BE(0), bytes.readUInt16BE(2)];
}
