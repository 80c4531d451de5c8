import { describe, expect, it } from "vitest";
import { type LineFormat, type PrintedReading, printedLine } from "#simulators/line-printer";

const READING: PrintedReading = {
  elapsedSeconds: 123,
  celsius: 512.4,
  hectopascals: 1013.2,
  heaterDutyFraction: 0.42,
};

// biome-ignore format: a table reads in columns
const LINES: readonly { format: LineFormat; line: string; broken: string }[] = [
  { format: "pairs",   line: "s=123.0 T=512.4 P=1013.2 D=0.42\r\n",        broken: "s=123.0 T=OPEN P=1013.2 D=0.42\r\n" },
  { format: "columns", line: "123.0;512.4;1013.2\r\n",                     broken: "123.0;OPEN;1013.2\r\n" },
  { format: "number",  line: "512.4\r\n",                                  broken: "OPEN\r\n" },
  { format: "json",    line: '{"s":123.0,"T":512.4,"P":1013.2}\r\n',       broken: '{"s":123.0,"T":"OPEN","P":1013.2}\r\n' },
];

describe("the line printer", () => {
  it.each(LINES)("prints a reading as $format", ({ format, line }) => {
    expect(printedLine(READING, format)).toBe(line);
  });

  it.each(LINES)("prints a word for a broken thermocouple as $format", ({ format, broken }) => {
    expect(printedLine({ ...READING, celsius: null }, format)).toBe(broken);
  });

  it.each([null, 512.4])("prints JSON that is JSON, with %s °C", (celsius) => {
    const line = printedLine({ ...READING, celsius }, "json");
    expect(JSON.parse(line)).toEqual({ s: 123, T: celsius ?? "OPEN", P: 1013.2 });
  });
});
