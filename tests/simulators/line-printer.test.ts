import { describe, expect, it } from "vitest";
import type { SensorWord } from "#shared/sensor-fault";
import type { InstrumentReading } from "#simulators/instrument-reading";
import { LINE_FORMATS, type LineFormat, printedLine } from "#simulators/line-printer";

const READING: InstrumentReading = {
  elapsedSeconds: 123,
  celsius: 512.4,
  sensorWord: null,
  millivolts: 20.1234,
  coldJunctionCelsius: 24.1,
  hectopascals: 1013.2,
  heaterDutyFraction: 0.42,
};

const BROKEN: InstrumentReading = { ...READING, celsius: null, sensorWord: "open-circuit", millivolts: null };

// biome-ignore format: a table reads in columns
const LINES: readonly { format: LineFormat; line: string; broken: string }[] = [
  { format: "pairs",        line: "s=123.0 T=512.4 P=1013.2 D=0.42",              broken: "s=123.0 T=OPEN P=1013.2 D=0.42" },
  { format: "pairs-mv",     line: "s=123.0 E=20.1234 CJ=24.1 P=1013.2",           broken: "s=123.0 E=OPEN CJ=24.1 P=1013.2" },
  { format: "pairs-cold",   line: "s=123.0 T=512.4 CJ=24.1 P=1013.2 D=0.42",      broken: "s=123.0 T=OPEN CJ=24.1 P=1013.2 D=0.42" },
  { format: "pairs-f",      line: "s=123.0 T=954.3 P=1013.2 D=0.42",              broken: "s=123.0 T=OPEN P=1013.2 D=0.42" },
  { format: "pairs-k",      line: "s=123.0 T=785.5 P=1013.2 D=0.42",              broken: "s=123.0 T=OPEN P=1013.2 D=0.42" },
  { format: "columns",      line: "123.0;512.4;1013.2",                           broken: "123.0;OPEN;1013.2" },
  { format: "columns-mv",   line: "123.0;20.1234;24.1",                           broken: "123.0;OPEN;24.1" },
  { format: "columns-cold", line: "123.0;512.4;24.1;1013.2",                      broken: "123.0;OPEN;24.1;1013.2" },
  { format: "columns-f",    line: "123.0;954.3;1013.2",                           broken: "123.0;OPEN;1013.2" },
  { format: "columns-k",    line: "123.0;785.5;1013.2",                           broken: "123.0;OPEN;1013.2" },
  { format: "number",       line: "512.4",                                        broken: "OPEN" },
  { format: "number-f",     line: "954.3 F",                                      broken: "OPEN" },
  { format: "number-k",     line: "785.5 K",                                      broken: "OPEN" },
  { format: "json",         line: '{"s":123.0,"T":512.4,"P":1013.2}',             broken: '{"s":123.0,"T":"OPEN","P":1013.2}' },
  { format: "json-mv",      line: '{"s":123.0,"E":20.1234,"CJ":24.1,"P":1013.2}', broken: '{"s":123.0,"E":"OPEN","CJ":24.1,"P":1013.2}' },
  { format: "json-cold",    line: '{"s":123.0,"T":512.4,"CJ":24.1,"P":1013.2}',   broken: '{"s":123.0,"T":"OPEN","CJ":24.1,"P":1013.2}' },
  { format: "json-f",       line: '{"s":123.0,"T":954.3,"P":1013.2}',             broken: '{"s":123.0,"T":"OPEN","P":1013.2}' },
  { format: "json-k",       line: '{"s":123.0,"T":785.5,"P":1013.2}',             broken: '{"s":123.0,"T":"OPEN","P":1013.2}' },
];

describe("the line printer", () => {
  it("knows the formats of this table and no others", () => {
    expect(LINES.map(({ format }) => format)).toEqual(LINE_FORMATS);
  });

  it.each(LINES)("prints a reading as $format", ({ format, line }) => {
    expect(printedLine(READING, format)).toBe(`${line}\r\n`);
  });

  it.each(LINES)("prints a word for a broken thermocouple as $format", ({ format, broken }) => {
    expect(printedLine(BROKEN, format)).toBe(`${broken}\r\n`);
  });

  // biome-ignore format: a table reads in columns
  it.each<{ sensorWord: SensorWord; shown: string }>([
    { sensorWord: "open-circuit", shown: "OPEN" },
    { sensorWord: "above-range",  shown: "OVER" },
    { sensorWord: "below-range",  shown: "UNDER" },
    { sensorWord: "no-value",     shown: "---" },
  ])("prints $shown for $sensorWord", ({ sensorWord, shown }) => {
    expect(printedLine({ ...BROKEN, sensorWord }, "number")).toBe(`${shown}\r\n`);
  });

  it("prints the EMF of a reading that has one, though it has no temperature", () => {
    const reversed = { ...READING, celsius: null, sensorWord: "below-range" as const, millivolts: -20.1234 };
    expect(printedLine(reversed, "pairs-mv")).toBe("s=123.0 E=-20.1234 CJ=24.1 P=1013.2\r\n");
    expect(printedLine(reversed, "pairs-cold")).toContain("T=UNDER CJ=24.1");
  });

  it.each(LINE_FORMATS.filter((format) => format.startsWith("json")))(
    "prints JSON that is JSON as %s",
    (format) => {
      for (const reading of [READING, BROKEN]) {
        const parsed = JSON.parse(printedLine(reading, format));
        expect(parsed).toMatchObject({ s: 123, P: 1013.2 });
      }
    },
  );
});
