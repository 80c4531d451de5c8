import { describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { measuredMillivolts } from "#core/thermocouple/cold-junction";
import { emfMillivolts } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { celsiusFromEmf } from "#core/thermocouple/temperature";
import { typeThatFits } from "#core/thermocouple/wrong-type";
import type { Trace } from "#core/trace/trace";
import { simulateBake } from "#simulators/simulate-bake";

const plan = DEMONSTRATION_PLANS[0];
if (!plan) throw new RangeError("there are no demonstration plans");
const bake = (seed: number) => simulateBake({ plan, seed, noiseKelvin: 0.3 }).samples;

/** What an adapter set to one type says of an element of another, its cold junction at 24 °C. */
function readAs(trace: Trace, element: ThermocoupleType, setTo: ThermocoupleType): Trace {
  return trace.flatMap((sample) => {
    const millivolts = measuredMillivolts(element, sample.celsius, 24) + emfMillivolts(setTo, 24);
    const read = celsiusFromEmf(setTo, millivolts);
    return read.ok ? [{ ...sample, celsius: read.celsius, coldJunctionCelsius: 24 }] : [];
  });
}

describe("a thermocouple of another type than the adapter is set to", () => {
  it.each([
    ["S", "R"],
    ["R", "S"],
    ["S", "K"],
    ["N", "K"],
    ["K", "N"],
    ["K", "E"],
  ] as const)("is told: a type %s read as type %s", (element, setTo) => {
    for (const seed of [601, 602, 603])
      expect(typeThatFits(plan, readAs(bake(seed), element, setTo), setTo)).toMatchObject({
        kind: "wrong-type",
        likelyType: element,
        needsPerson: true,
      });
  });

  it.each(["K", "N", "S", "R"] as const)("is not told of a type %s that is read as such", (type) => {
    for (const seed of [601, 602, 603]) expect(typeThatFits(plan, bake(seed), type)).toBeNull();
  });

  it("is not told of a furnace that is too weak for its plan", () => {
    for (const top of [560, 620, 680, 720]) {
      const weak = bake(604).map((sample) => ({ ...sample, celsius: Math.min(sample.celsius, top) }));
      for (const type of ["K", "N", "S", "R"] as const)
        expect(typeThatFits(plan, weak, type), `${type} ${top} °C`).toBeNull();
    }
  });

  it("is not told where the low temperature was not seen", () => {
    const fromTheClimb = readAs(bake(605), "S", "K").filter(({ celsius }) => celsius > 150);
    expect(typeThatFits(plan, fromTheClimb, "K")).toBeNull();
  });
});
