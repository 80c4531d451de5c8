import { describe, expect, it } from "vitest";
import { FaultyLine, isProbeFault, LINE_FAULTS, type LineFault } from "#simulators/faults";
import { PROBE_FAULTS } from "#simulators/probe-faults";

const WELL = "s=1.0 T=510.0 P=1013.2 D=0.20\r\n";

describe("a faulty line", () => {
  it("leaves everything as it is while nothing is wrong, and again afterwards", () => {
    const line = faulty(null);
    for (const fault of LINE_FAULTS) {
      line.setFault(fault);
      text(line);
      line.setFault(null);
      expect(text(line)).toBe(WELL);
      expect(line.delayMilliseconds).toBe(0);
    }
  });

  it.each(["mute", "vanish"] as const)("says nothing when %s", (fault) => {
    expect(text(faulty(fault))).toBe("");
  });

  it("prints whole lines of nonsense as garbage", () => {
    expect(text(faulty("garbage"))).toMatch(/^\?\? [a-z]{12} =;= [a-z]{5}\r\n$/);
  });

  it("prints every kind of byte when it floods", () => {
    const line = faulty("flood");
    const seen = new Set(Array.from({ length: 10 }, () => [...line.spoiled(Buffer.from(WELL))]).flat());
    expect(seen.size).toBe(256);
  });

  it("prints lines beyond 4 KiB when they are overlong", () => {
    const line = text(faulty("overlong"));
    expect(line.length).toBeGreaterThan(4096);
    expect(line.indexOf("\n")).toBe(line.length - 1);
  });

  it("breaks lines off without an ending", () => {
    const line = faulty("half-lines");
    expect(text(line) + text(line)).toBe("s=1.0 T=510.0 P=s=1.0 T=510.0 P=");
  });

  it("puts odd bytes before about every third line when there is noise", () => {
    const line = faulty("noise");
    const said = Array.from({ length: 600 }, () => line.spoiled(Buffer.from(WELL)));
    for (const bytes of said) expect(bytes.subarray(-WELL.length).toString()).toBe(WELL);
    const noisy = said.filter(({ length }) => length > WELL.length).length;
    expect(Math.abs(noisy - 200)).toBeLessThan(60);
  });

  it("loses about one byte in thirty", () => {
    const sent = Buffer.alloc(30_000, "x");
    expect(Math.abs(faulty("lost-bytes").spoiled(sent).length - 29_000)).toBeLessThan(160);
  });

  it("changes nothing but the time when slow or late", () => {
    for (const fault of ["slow", "late"] as const) {
      expect(text(faulty(fault))).toBe(WELL);
      expect(faulty(fault).delayMilliseconds).toBeGreaterThan(100);
    }
    expect(faulty("late").delayMilliseconds).toBeGreaterThan(1000);
  });
});

describe("the faults of a probe", () => {
  it("are told from those of the line", () => {
    expect(PROBE_FAULTS.every(isProbeFault)).toBe(true);
    expect(["none" as const, ...LINE_FAULTS].some(isProbeFault)).toBe(false);
  });
});

function faulty(fault: LineFault | null): FaultyLine {
  const line = new FaultyLine(1);
  line.setFault(fault);
  return line;
}

function text(line: FaultyLine): string {
  return line.spoiled(Buffer.from(WELL)).toString();
}
