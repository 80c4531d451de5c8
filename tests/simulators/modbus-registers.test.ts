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

  it("hold the codes of a broken probe in every type", () => {
    const words = modbusRegisters(instrumentReading(benchReading(), wordReading("open-circuit", 24)));
    expect(words.get(0)).toBe(0x8000);
    for (const address of [14, 16]) expect([words.get(address), words.get(address + 1)]).toEqual([0x8000, 0]);
    for (const [high, low] of [
      [10, 11],
      [13, 12],
    ] as const) {
      const bytes = Buffer.from(
        [high, low].flatMap((address) => [(words.get(address) ?? 0) >> 8, (words.get(address) ?? 0) & 0xff]),
      );
      expect(bytes.readFloatBE(0)).toBeNaN();
    }
    expect(words.get(1)).toBe(240);
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
