import { describe, expect, it } from "vitest";
import { probeBudget } from "#core/thermocouple/uncertainty";
import { basisText, missingText, uncertaintyRows } from "#kiosk-ui/screens/upkeep/uncertainty-rows";
import { UNKNOWN_PROBE } from "#shared/probe";
import { correctedProbe, MADE_UP_PROBE, madeUpChecks } from "#tests/helpers/made-up-checks";

const NOW = new Date(2026, 10, 25, 12).getTime();
const checks = madeUpChecks(NOW);
const accepted = checks.find((check) => check.accepted);
const plain = (text: string) => text.replaceAll("\u00a0", " ");

describe("the table of a budget", () => {
  it("says of every quantity what was given and what it adds", () => {
    const [tolerance, junction] = uncertaintyRows(probeBudget(MADE_UP_PROBE, 800), "celsius");
    // Class 2 of type S at 800 °C: 0.25 % of 800 is 2.0 K; 2.0/√3 = 1.155 (IEC 60584-1 as in tolerance.ts; GUM 4.3.7)
    expect(tolerance).toMatchObject({ distribution: "rectangular", divisor: "√3", sensitivity: "1.00" });
    expect(plain(tolerance?.given ?? "")).toBe("± 2.00 K");
    expect(plain(tolerance?.contribution ?? "")).toBe("1.15 K");
    expect(junction?.quantity).toBe("Cold junction");
    expect(Number(junction?.sensitivity)).toBeLessThan(1);
  });

  it("gives differences in °F without an offset", () => {
    const [tolerance] = uncertaintyRows(probeBudget(MADE_UP_PROBE, 800), "fahrenheit");
    expect(plain(tolerance?.given ?? "")).toBe("± 3.60 °F");
  });

  it("rests on the last accepted check with its coverage factor", () => {
    if (!accepted) throw new Error("none was accepted");
    const probe = correctedProbe(MADE_UP_PROBE, accepted);
    const budget = probeBudget(probe, 800);
    expect(plain(uncertaintyRows(budget, "celsius")[0]?.given ?? "")).toMatch(/^± 0\.\d\d K \(k = 2\)$/);
    expect(basisText(budget, probe, checks, NOW)).toMatch(
      /^Basis: the silver wire of 18 Sept, 68 days ago\. /,
    );
    expect(missingText(budget, probe, "celsius")).toBe("");
  });

  it("says what nobody said, and where a class says nothing", () => {
    const probe = { ...MADE_UP_PROBE, positionKelvin: null };
    expect(missingText(probeBudget(probe, 800), probe, "celsius")).toBe(
      "Not said, so not in it: place of the probe beside the ware. The true uncertainty is larger.",
    );
    const beyond = { ...MADE_UP_PROBE, type: "T" as const };
    expect(plain(missingText(probeBudget(beyond, 800), beyond, "celsius"))).toMatch(
      /^The class says nothing at 800 °C\. /,
    );
    expect(uncertaintyRows(probeBudget(UNKNOWN_PROBE, 800), "celsius")).toEqual([]);
  });
});
