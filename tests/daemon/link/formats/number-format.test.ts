import { describe, expect, it } from "vitest";
import { readNumberLine } from "#daemon/link/formats/number-format";

describe("a bare number", () => {
  it.each([
    { line: "512.4", celsius: 512.4 },
    { line: "  512,4 ", celsius: 512.4 },
    { line: "+512.4 C", celsius: 512.4 },
    { line: "-3.5°C", celsius: -3.5 },
  ])("is read from $line", ({ line, celsius }) => {
    expect(readNumberLine({ kind: "number", field: "celsius" }, line)).toEqual({
      ok: true,
      channels: { celsius },
    });
  });

  it("may be a word of the probe", () => {
    expect(readNumberLine({ kind: "number", field: "celsius" }, "OPEN\t")).toEqual({
      ok: true,
      channels: { sensorWord: "open-circuit" },
    });
  });

  it.each(["", "  ", "512.4 513.1", "T=512.4", "0x10", "1e999", "10\u000084.3", "512.4 K"])(
    "is refused in %j",
    (line) => {
      expect(readNumberLine({ kind: "number", field: "celsius" }, line)).toMatchObject({ ok: false });
    },
  );
});
