import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { instrumentReading, wordReading } from "#simulators/instrument-reading";
import { modbusRegisters } from "#simulators/modbus-registers";
import { benchReading } from "#tests/helpers/bench-reading";

const { modbus_rtu: VECTORS }: { modbus_rtu: { constructed: { frame: string; float_order?: string }[] } } =
  JSON.parse(readFileSync(new URL("../reference/serial-protocol-vectors.json", import.meta.url), "utf8"));

const SENSOR = { sensorWord: null, millivolts: -0.1234, coldJunctionCelsius: -12.3 };

describe("the registers of the Modbus instrument", () => {
  it("hold whole numbers in their steps, negative ones as two's complement", () => {
    const words = registersFor(960.5);
    // As constructed frames have them: 960.5 °C is 9605, −12.3 °C is 0xFF85.
    expect([0, 1, 2, 3].map((address) => words.get(address))).toEqual([9605, 0xff85, 10_132, 200]);
    expect([14, 15].map((address) => words.get(address))).toEqual([960_500 >> 16, 960_500 & 0xffff]);
    expect([16, 17].map((address) => words.get(address))).toEqual([0xffff, 0x10000 - 1234]);
    expect([4, 5].map((address) => words.get(address))).toEqual([1, 0x0002]);
  });

  it.each([
    { order: "ABCD", address: 10 },
    { order: "CDAB", address: 12 },
  ])("hold 961.78 °C as a float in the order $order", ({ order, address }) => {
    const frame = VECTORS.constructed.find(({ float_order }) => float_order === order)?.frame ?? "";
    const bytes = Buffer.from(frame.replaceAll(" ", ""), "hex").subarray(3, 7);
    const words = registersFor(961.78);
    expect([words.get(address), words.get(address + 1)]).toEqual([
      bytes.readUInt16BE(0),
      bytes.readUInt16BE(2),
    ]);
  });

  // IEEE 754: an exponent of all ones with a fraction is no number, without one it is infinite.
  // biome-ignore format: a table reads in columns
  it.each([
    { word: "open-circuit" as const, int16: 0x8000, int32: [0x8000, 0x0000], float: [0x7fc0, 0x0000] },
    { word: "no-value" as const,     int16: 0x8000, int32: [0x8000, 0x0000], float: [0x7fc0, 0x0000] },
    { word: "below-range" as const,  int16: 0x8000, int32: [0x8000, 0x0000], float: [0xff80, 0x0000] },
    { word: "above-range" as const,  int16: 0x7fff, int32: [0x7fff, 0xffff], float: [0x7f80, 0x0000] },
  ])("hold the codes of $word in every type, and the cold junction", ({ word, int16, int32, float }) => {
    const words = modbusRegisters(instrumentReading(benchReading(), wordReading(word, 24)));
    const at = (...addresses: number[]) => addresses.map((address) => words.get(address));
    expect(at(0, 1)).toEqual([int16, 240]);
    expect(at(14, 15)).toEqual(int32);
    expect(at(16, 17)).toEqual([0x8000, 0]);
    expect(at(10, 11)).toEqual(float);
    expect(at(13, 12)).toEqual(float);
  });

  it("leave holes that are refused", () => {
    expect([...registersFor(500).keys()].sort((a, b) => a - b)).toEqual([
      0, 1, 2, 3, 4, 5, 10, 11, 12, 13, 14, 15, 16, 17,
    ]);
  });
});

function registersFor(celsius: number) {
  // 6553.8 s are 65,538 tenths: 0x0001_0002.
  return modbusRegisters(instrumentReading(benchReading({ elapsedSeconds: 6553.8 }), { ...SENSOR, celsius }));
}
