import { describe, expect, it } from "vitest";
import { readColumnsLine } from "#daemon/link/formats/columns-format";

const fields = ["seconds", "celsius", "hectopascals"] as const;
const read = { instrumentSeconds: 123, celsius: 512.4, hectopascals: 1013.2 };

describe("columns", () => {
  it.each([
    { line: "123.0;512.4;1013.2" },
    { line: "123.0,512.4,1013.2" },
    { line: "123.0\t512.4\t1013.2" },
    { line: "  123.0  512.4   1013.2 " },
    { line: "123.0, 512.4, 1013.2," },
    { line: "123,0; 512,4; 1013,2;" },
    { line: "123,0 512,4 1013,2" },
    { line: "123.0;512.4°C;1013.2 hPa" },
  ])("are read from $line", ({ line }) => {
    expect(readColumnsLine({ kind: "columns", fields, separator: "any" }, line)).toEqual({
      ok: true,
      channels: read,
    });
  });

  it.each([
    { line: "123.0;512.4", why: "2 columns where 3 belong" },
    { line: "123.0;512.4;1013.2;7", why: "4 columns where 3 belong" },
    { line: "seconds;celsius;hectopascals", why: "column 1: not a number" },
    { line: ";512.4;1013.2", why: "column 1: not a number" },
    { line: "123.0;10\u000084.3;1013.2", why: "column 2: not a number" },
  ])("are refused in $line", ({ line, why }) => {
    expect(readColumnsLine({ kind: "columns", fields, separator: "any" }, line)).toMatchObject({
      ok: false,
      why,
    });
  });

  it.each([
    { line: "123.0;;1013.2", sensorWord: "no-value" },
    { line: "123.0,OPEN,1013.2", sensorWord: "open-circuit" },
    { line: "123.0 -inf 1013.2", sensorWord: "below-range" },
  ])("tell of the probe in $line", ({ line, sensorWord }) => {
    expect(readColumnsLine({ kind: "columns", fields, separator: "any" }, line)).toEqual({
      ok: true,
      channels: { instrumentSeconds: 123, hectopascals: 1013.2, sensorWord },
    });
  });

  it("keep to the separator that the format names", () => {
    const format = { kind: "columns", fields: ["seconds", "celsius"], separator: "comma" } as const;
    expect(readColumnsLine(format, "123,512")).toEqual({
      ok: true,
      channels: { instrumentSeconds: 123, celsius: 512 },
    });
    expect(readColumnsLine(format, "123;512")).toMatchObject({ ok: false });
  });

  it("take no decimal comma between commas", () => {
    const format = { kind: "columns", fields: ["seconds", "celsius"], separator: "comma" } as const;
    expect(readColumnsLine(format, "1,5,512,4")).toMatchObject({
      ok: false,
      why: "4 columns where 2 belong",
    });
  });
});
