import { describe, expect, it } from "vitest";
import { FAULTS, type Fault, FaultyPrinter } from "#simulators/faults";
import { benchReading } from "#tests/helpers/bench-reading";

const WELL = "s=1.0 T=510.0 P=1013.2 D=0.20\r\n";

describe("a faulty printer", () => {
  it("prints readings while nothing is wrong, and again afterwards", () => {
    const printer = new FaultyPrinter("pairs", 1);
    for (const fault of FAULTS) {
      printer.setFault(fault);
      printer.bytes(reading(0, 509));
      printer.setFault("none");
      expect(text(printer, 1, 510)).toBe(WELL);
    }
  });

  it.each(["mute", "vanish"] as const)("says nothing when %s", (fault) => {
    expect(faulty(fault).bytes(reading(1, 510))).toHaveLength(0);
  });

  it("prints whole lines of nonsense as garbage", () => {
    expect(text(faulty("garbage"), 1, 510)).toMatch(/^\?\? [a-z]{12} =;= [a-z]{5}\r\n$/);
  });

  it("prints every kind of byte when it floods", () => {
    const printer = faulty("flood");
    const seen = new Set(Array.from({ length: 10 }, () => [...printer.bytes(reading(1, 510))]).flat());
    expect(seen.size).toBe(256);
  });

  it("prints lines beyond 4 KiB when they are overlong", () => {
    const line = text(faulty("overlong"), 1, 510);
    expect(line.length).toBeGreaterThan(4096);
    expect(line.indexOf("\n")).toBe(line.length - 1);
  });

  it("breaks lines off without an ending", () => {
    const printer = faulty("half-lines");
    expect(text(printer, 1, 510) + text(printer, 2, 511)).toBe("s=1.0 T=510.0 P=s=2.0 T=511.0 P=");
  });

  it("repeats the temperature that it had when it froze, while time goes on", () => {
    const printer = faulty("frozen");
    expect([text(printer, 1, 510), text(printer, 2, 530)]).toEqual([WELL, WELL.replace("s=1.0", "s=2.0")]);
  });

  it("prints a word for the temperature of an open circuit", () => {
    expect(text(faulty("open-circuit"), 1, 510)).toBe(WELL.replace("510.0", "OPEN"));
  });
});

function faulty(fault: Fault): FaultyPrinter {
  const printer = new FaultyPrinter("pairs", 1);
  printer.setFault(fault);
  return printer;
}

function reading(elapsedSeconds: number, celsius: number) {
  return benchReading({ elapsedSeconds, celsius });
}

function text(printer: FaultyPrinter, elapsedSeconds: number, celsius: number): string {
  return printer.bytes(reading(elapsedSeconds, celsius)).toString();
}
