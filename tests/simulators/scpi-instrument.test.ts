import { readFileSync } from "node:fs";
import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { type InstrumentReading, instrumentReading, wordReading } from "#simulators/instrument-reading";
import { isHeader, pathOf, rootedHeader } from "#simulators/scpi-headers";
import { SCPI_IDENTITY, ScpiInstrument, ScpiMessages, scpiNumber } from "#simulators/scpi-instrument";
import { benchReading } from "#tests/helpers/bench-reading";

const {
  scpi: VECTORS,
}: {
  scpi: {
    header_matching: { pattern: string; input: string; match: boolean }[];
    errors: [number, string][];
    error_queue: { rule: string };
  };
} = JSON.parse(readFileSync(new URL("../reference/serial-protocol-vectors.json", import.meta.url), "utf8"));

describe("a header", () => {
  it.each(VECTORS.header_matching)("$input is meant by $pattern: $match", ({ pattern, input, match }) => {
    expect(isHeader(pattern, input)).toBe(match);
  });

  it("stands on the path of the one before it, unless it begins at the root or is a common one", () => {
    expect(pathOf(":SYST:ERR:NEXT?")).toBe("SYST:ERR");
    expect(rootedHeader("ERR?", "SYST")).toBe("SYST:ERR?");
    expect(rootedHeader(":MEAS:TEMP?", "SYST")).toBe("MEAS:TEMP?");
    expect(rootedHeader("*IDN?", "SYST")).toBe("*IDN?");
  });
});

describe("a number", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { value: 512.4,     text: "+5.12400E+02" },
    { value: -12.3,     text: "-1.23000E+01" },
    { value: 0.0201234, text: "+2.01234E-02" },
    { value: 0,         text: "+0.00000E+00" },
    { value: 9.91e37,   text: "+9.91000E+37" },
  ])("is written $text", ({ value, text }) => {
    expect(scpiNumber(value)).toBe(text);
    expect(Number(text)).toBeCloseTo(value, 9);
  });
});

describe("the SCPI instrument", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { asked: "*IDN?",                                 answer: SCPI_IDENTITY },
    { asked: "*idn?",                                 answer: SCPI_IDENTITY },
    { asked: "*OPC?",                                 answer: "1" },
    { asked: "*IDN?;*CLS;*IDN?",                      answer: `${SCPI_IDENTITY};${SCPI_IDENTITY}` },
    { asked: "MEASure:TEMPerature?",                  answer: "+5.12400E+02" },
    { asked: "meas:temp?",                            answer: "+5.12400E+02" },
    { asked: ":MEAS:SCAL:TEMP?",                      answer: "+5.12400E+02" },
    { asked: "MEAS:TEMP? (@2)",                       answer: "+6.00000E+02" },
    { asked: "MEAS:TEMP? TC,(@2)",                    answer: "+6.00000E+02" },
    { asked: "MEAS:TEMP? TC",                         answer: "+5.12400E+02" },
    { asked: "MEAS:TEMP? (@1,2)",                     answer: "+5.12400E+02,+6.00000E+02" },
    { asked: "MEASure:VOLTage:DC? (@1)",              answer: "+2.01234E-02" },
    { asked: "SENSe:CJUNction?",                      answer: "+2.41000E+01" },
    { asked: "CJUN:TEMP?",                            answer: "+2.41000E+01" },
    { asked: "MEAS:PRES?",                            answer: "+1.01320E+03" },
    { asked: "MEAS:TEMP?;VOLT?;:SENS:CJUN?",          answer: "+5.12400E+02;+2.01234E-02;+2.41000E+01" },
    { asked: "UNIT:TEMP?",                            answer: "CEL" },
    { asked: "SYSTem:ERRor:NEXT?",                    answer: '0,"No error"' },
  ])("answers $asked", ({ asked, answer }) => {
    const scpi = instrument();
    expect(scpi.answer(asked)).toBe(answer);
    expect(scpi.answer("SYST:ERR?")).toBe('0,"No error"');
  });

  // The first three as asserted by the parser library of the reference; the others follow from the same list.
  // biome-ignore format: a table reads in columns
  it.each([
    { asked: "ABCD",               error: -113 },
    { asked: "IDN?",               error: -113 },
    { asked: "*IDN? 12",           error: -108 },
    { asked: "MEAS:TEMP",          error: -113 },
    { asked: "MEASU:TEMP?",        error: -113 },
    { asked: "MEAS:TEMP 500",      error: -113 },
    { asked: "UNIT:TEMP F",        error: -113 },
    { asked: "MEAS:TEMP? (@9)",    error: -222 },
    { asked: "MEAS:TEMP? nonsense",error: -104 },
    { asked: "MEAS:T°?",           error: -101 },
    { asked: "X".repeat(300),      error: -363 },
  ])("does not answer $asked but queues $error", ({ asked, error }) => {
    const scpi = instrument();
    expect(scpi.answer(asked)).toBeNull();
    const sentence = VECTORS.errors.find(([number]) => number === error)?.[1];
    expect(scpi.answer("SYST:ERR?")).toBe(`${error},"${sentence}"`);
    expect(scpi.answer("SYST:ERR?")).toBe('0,"No error"');
  });

  it("keeps its complaints in order, and says when it had too many", () => {
    const scpi = instrument();
    for (let count = 0; count < 12; count += 1) scpi.answer("ABCD");
    const told = Array.from({ length: 9 }, () => scpi.answer("SYST:ERR?")?.split(",")[0]);
    expect(told).toEqual([...Array.from({ length: 7 }, () => "-113"), "-350", "0"]);
  });

  it("tells the kind of its complaints in the event register, once, and forgets all on *CLS", () => {
    const scpi = instrument();
    scpi.answer("ABCD");
    scpi.answer("MEAS:TEMP? (@9)");
    expect([scpi.answer("*ESR?"), scpi.answer("*ESR?")]).toEqual(["48", "0"]);
    scpi.answer("ABCD;*CLS");
    expect(scpi.answer("SYST:ERR?;*ESR?")).toBe('0,"No error";0');
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { word: "open-circuit" as const, answer: "+9.91000E+37" },
    { word: "no-value" as const,     answer: "+9.91000E+37" },
    { word: "above-range" as const,  answer: "+9.90000E+37" },
    { word: "below-range" as const,  answer: "-9.90000E+37" },
  ])("answers $answer when $word, and still its cold junction", ({ word, answer }) => {
    const scpi = new ScpiInstrument(() => instrumentReading(benchReading(), wordReading(word, 24.1)));
    expect(scpi.answer("MEAS:TEMP?;VOLT?;:SENS:CJUN?")).toBe(`${answer};${answer};+2.41000E+01`);
  });

  it("says nothing at all when its channel has no reading, and has no complaint of that", () => {
    const scpi = new ScpiInstrument(() => null);
    expect(scpi.answer("MEAS:TEMP?")).toBeNull();
    expect(scpi.answer("SYST:ERR?")).toBe('0,"No error"');
  });

  it.prop([fc.array(fc.string({ unit: "binary", maxLength: 300 }), { maxLength: 30 })])(
    "survives whatever it is told, and answers the next question",
    (messages) => {
      const scpi = instrument();
      for (const message of messages) scpi.answer(message);
      expect(scpi.answer("MEAS:TEMP?")).toBe("+5.12400E+02");
    },
  );
});

describe("the messages of an instrument", () => {
  it("are put together from pieces, with either ending", () => {
    const messages = new ScpiMessages();
    const found = ["*ID", "N?\r\nMEAS", ":TEMP?\n"].flatMap((piece) => messages.push(Buffer.from(piece)));
    expect(found).toEqual(["*IDN?", "MEAS:TEMP?"]);
  });

  it("stay bounded when no ending comes", () => {
    const messages = new ScpiMessages();
    for (let count = 0; count < 100; count += 1) messages.push(Buffer.alloc(1000, "x"));
    const [long = "", next] = messages.push(Buffer.from("\n*IDN?\n"));
    expect(long.length).toBeLessThan(2000);
    expect(instrument().answer(long)).toBeNull();
    expect(next).toBe("*IDN?");
  });
});

function instrument(): ScpiInstrument {
  const sensor = { sensorWord: null, millivolts: 20.1234, coldJunctionCelsius: 24.1 };
  const channels: InstrumentReading[] = [512.4, 600].map((celsius) =>
    instrumentReading(benchReading({ elapsedSeconds: 123 }), { ...sensor, celsius }),
  );
  return new ScpiInstrument((channel) => channels[channel - 1]);
}
