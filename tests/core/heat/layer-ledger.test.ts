import { it } from "@fast-check/vitest";
import fc from "fast-check";
import { describe, expect } from "vitest";
import { comparison } from "#core/compare/comparison";
import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import { flowLengthMicrometres } from "#core/heat/flow-length";
import { curveEquivalentSeconds, heatWorkEquivalentSeconds } from "#core/heat/heat-work";
import {
  collectedEquivalentSeconds,
  fittingHolds,
  heatWorkWindow,
  type LayerAccount,
  type LedgerBake,
  layerAccounts,
  layerForecasts,
  layerPortion,
  layerSide,
} from "#core/heat/layer-ledger";
import type { Material } from "#core/heat/material";
import { usualWare, wareTrace } from "#core/heat/ware";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import type { Plan } from "#core/plan/plan";
import { planNumber, withPlanNumber } from "#core/plan/plan-numbers";
import { setpointCurve } from "#core/plan/setpoint";
import { plans } from "#tests/helpers/arbitraries";
import { fired } from "#tests/helpers/fired";
import { sampled, trace } from "#tests/helpers/trace";

const [, buildUpPlan, glazePlan] = DEMONSTRATION_PLANS as readonly [Plan, Plan, Plan];
const [, paste, glaze] = DEMONSTRATION_MATERIALS as readonly [Material, Material, Material];
const ware = usualWare({ framework: "zirconia", caseSize: "medium" });

/** A minute at 760 °C and nothing that counts before and after, in two materials of one activation energy. */
const simple: Material = {
  ...paste,
  name: "simple",
  activationEnergyJoulesPerMole: 325_000,
  viscosity: null,
  window: { leastEquivalentSeconds: 70, mostEquivalentSeconds: 190 },
};
const flash: Plan = {
  name: "flash",
  dryingSeconds: 0,
  closingSeconds: 0,
  lowCelsius: 300,
  lowHoldSeconds: 0,
  steps: [
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
    { kind: "hold", seconds: 60 },
  ],
  cooling: { kind: "free" },
};

function bake(bakeId: number, plan: Plan): LedgerBake {
  return { bakeId, trace: fired(plan), ware };
}

describe("the account of a layer", () => {
  it("has a portion of its first bake and of every later one", () => {
    const bakes = [bake(3, buildUpPlan), bake(8, glazePlan), bake(5, glazePlan)];
    const accounts = layerAccounts(
      [
        { name: "Build-up", material: paste, firstBakeId: 3 },
        { name: "Colour", material: glaze, firstBakeId: 8 },
      ],
      bakes,
    );
    expect(accounts.map(({ name, portions }) => [name, portions.map(({ bakeId }) => bakeId)])).toEqual([
      ["Build-up", [3, 8, 5]],
      ["Colour", [8, 5]],
    ]);
  });

  it("counts one bake differently for each material, by its own energy and reference", () => {
    const bakes = [bake(1, buildUpPlan)];
    for (const material of [paste, glaze]) {
      const [account] = layerAccounts([{ name: "any", material, firstBakeId: 1 }], bakes);
      const [portion] = account?.portions ?? [];
      const measured = fired(buildUpPlan);
      expect(portion?.chamberEquivalentSeconds).toBe(heatWorkEquivalentSeconds(measured, material));
      expect(portion?.wareEquivalentSeconds).toBe(
        heatWorkEquivalentSeconds(wareTrace(measured, ware), material),
      );
      expect(portion?.flowLengthMicrometres).toBe(flowLengthMicrometres(measured, material));
    }
  });

  it("of an unknown ware and a material without viscosity says so", () => {
    const [account] = layerAccounts(
      [{ name: "any", material: simple, firstBakeId: 1 }],
      [{ ...bake(1, flash), ware: null }],
    );
    expect(account?.portions).toMatchObject([{ wareEquivalentSeconds: null, flowLengthMicrometres: null }]);
  });

  it("has nothing for what was not measured, by chamber, ware and flow alike", () => {
    const whole = sampled(trace("0:700 10:760 20:760"), 1);
    const torn = whole.filter(({ atSeconds }) => atSeconds <= 700 || atSeconds >= 1000);
    const portions = [whole, torn].map(
      (measured) =>
        layerAccounts(
          [{ name: "any", material: paste, firstBakeId: 1 }],
          [{ bakeId: 1, trace: measured, ware }],
        )[0]?.portions[0],
    );
    const [full, less] = portions;
    // 300 s at 760 °C, where the paste's seconds are counted
    expect((full?.chamberEquivalentSeconds ?? 0) - (less?.chamberEquivalentSeconds ?? 0)).toBeCloseTo(300, 6);
    expect((full?.wareEquivalentSeconds ?? 0) - (less?.wareEquivalentSeconds ?? 0)).toBeCloseTo(300, -1);
    expect((less?.flowLengthMicrometres ?? 0) / (full?.flowLengthMicrometres ?? 1)).toBeCloseTo(
      (less?.chamberEquivalentSeconds ?? 0) / (full?.chamberEquivalentSeconds ?? 1),
      2,
    );
  });

  it("is not bent by a thermocouple that opened for a second: a full-scale reading counts as not measured", () => {
    const whole = bake(1, buildUpPlan);
    const torn = whole.trace.map((sample) =>
      sample.atSeconds === 920 ? { ...sample, celsius: 1370 } : sample,
    );
    const collected = [whole, { ...whole, trace: torn }].map(
      (each) => layerAccounts([{ name: "any", material: paste, firstBakeId: 1 }], [each])[0]?.portions[0],
    );
    const share = (of: "chamberEquivalentSeconds" | "wareEquivalentSeconds" | "flowLengthMicrometres") =>
      (collected[1]?.[of] ?? Number.NaN) / (collected[0]?.[of] ?? Number.NaN);
    expect(share("chamberEquivalentSeconds")).toBeCloseTo(1, 3);
    expect(share("wareEquivalentSeconds")).toBeCloseTo(1, 3);
    expect(share("flowLengthMicrometres")).toBeCloseTo(1, 3);
  });

  it("requires its first bake among the bakes", () => {
    expect(() =>
      layerAccounts([{ name: "Colour", material: glaze, firstBakeId: 4 }], [bake(1, glazePlan)]),
    ).toThrow("layer accounts require a layer's first bake among the bakes, got 4 for Colour");
  });
});

/** The demonstration materials are invented: what is checked is the reckoning, and that they tell the trade's story. */
describe("the usual orders", () => {
  it("build-up fired, then colour: the build-up collects a little more and stays right", () => {
    const accounts = layerAccounts(
      [{ name: "Build-up", material: paste, firstBakeId: 1 }],
      [bake(1, buildUpPlan)],
    );
    const forecasts = layerForecasts(accounts, [{ name: "Colour", material: glaze }], glazePlan, 60);
    expect(sides(forecasts)).toEqual([
      ["Build-up", false, "right", "right"],
      ["Colour", true, "short", "right"],
    ]);
    const [buildUp] = forecasts;
    expect((buildUp?.addedEquivalentSeconds ?? 0) / (buildUp?.beforeEquivalentSeconds ?? 1)).toBeLessThan(
      0.3,
    );
  });

  it("colour fired, then build-up: the colour collects most in the hotter bake", () => {
    const accounts = layerAccounts(
      [{ name: "Colour", material: glaze, firstBakeId: 1 }],
      [bake(1, glazePlan)],
    );
    const forecasts = layerForecasts(accounts, [{ name: "Build-up", material: paste }], buildUpPlan);
    expect(sides(forecasts)).toEqual([
      ["Colour", false, "right", "right"],
      ["Build-up", true, "short", "right"],
    ]);
    const [colour] = forecasts;
    expect((colour?.addedEquivalentSeconds ?? 0) / (colour?.beforeEquivalentSeconds ?? 1)).toBeGreaterThan(3);
  });

  it("build-up, then a thin wet separating coat of glaze and colour in one bake: all three right", () => {
    const accounts = layerAccounts(
      [{ name: "Build-up", material: paste, firstBakeId: 1 }],
      [bake(1, buildUpPlan)],
    );
    const added = [
      { name: "Separating coat", material: glaze },
      { name: "Colour", material: glaze },
    ];
    const forecasts = layerForecasts(accounts, added, glazePlan, 60);
    expect(sides(forecasts)).toEqual([
      ["Build-up", false, "right", "right"],
      ["Separating coat", true, "short", "right"],
      ["Colour", true, "short", "right"],
    ]);
    expect(forecasts[1]?.afterEquivalentSeconds).toBe(forecasts[2]?.afterEquivalentSeconds);
  });

  it("a second bake of the same paste: a minute is too much, seconds are right, with room for a glaze 15 s at most", () => {
    const accounts = layerAccounts(
      [{ name: "Build-up", material: paste, firstBakeId: 1 }],
      [bake(1, buildUpPlan)],
    );
    const again = (seconds: number) =>
      layerForecasts(accounts, [], withPlanNumber(buildUpPlan, "top-hold", seconds))[0]?.sideAfter;
    expect([again(60), again(10)]).toEqual(["excess", "right"]);
    const [forGlaze] = layerForecasts(accounts, [], glazePlan, 60);
    const roomAfterGlaze = accounts.map((account) => ({
      ...account,
      portions: [...account.portions, portion(2, forGlaze?.addedEquivalentSeconds ?? 0)],
    }));
    const most = fittingHolds(roomAfterGlaze, [], buildUpPlan)?.mostSeconds ?? Number.NaN;
    expect(most).toBeGreaterThan(10);
    expect(most).toBeLessThan(17);
  });
});

describe("a forecast", () => {
  it("is what the bake then brings, where the cooling is led", () => {
    const before = layerAccounts(
      [{ name: "Build-up", material: paste, firstBakeId: 1 }],
      [bake(1, buildUpPlan)],
    );
    const [forecast] = layerForecasts(before, [], buildUpPlan);
    const [after] = layerAccounts(
      [{ name: "Build-up", material: paste, firstBakeId: 1 }],
      [bake(1, buildUpPlan), bake(2, buildUpPlan)],
    );
    const came = after ? collectedEquivalentSeconds(after) : Number.NaN;
    // the helper goes on cooling below the planned end, which is worth next to nothing; samples cut corners
    expect(came / (forecast?.afterEquivalentSeconds ?? 1)).toBeCloseTo(1, 3);
    expect(forecast?.addedFlowLengthMicrometres).toBe(
      flowLengthMicrometres(setpointCurve(buildUpPlan), paste),
    );
  });

  it("is what the bake then brings with the rate of a free cooling, and without it that much short", () => {
    const [layer] = [{ name: "any", material: simple }];
    const came = curveEquivalentSeconds(fired(flash, 1, 60), simple);
    const forecast = (rate: number | null) =>
      layerForecasts([], [layer], flash, rate)[0]?.afterEquivalentSeconds ?? Number.NaN;
    expect(forecast(60) / came).toBeCloseTo(1, 3);
    // R·T²/E = 27.3 K at 760 °C, so a fall of 60 K/min is worth some 27 s (a first-order estimate)
    expect(came - forecast(null)).toBeGreaterThan(25);
    expect(came - forecast(null)).toBeLessThan(28);
  });

  it("takes no rate for a cooling that is led", () => {
    const added = [{ name: "any", material: paste }];
    expect(layerForecasts([], added, buildUpPlan, 60)).toEqual(layerForecasts([], added, buildUpPlan));
  });

  it("requires a cooling that cools", () => {
    expect(() => layerForecasts([], [], flash, 0)).toThrow(
      "a free cooling requires a rate above 0 K/min, got 0",
    );
  });

  it.each([
    { seconds: 69.9, side: "short" },
    { seconds: 70, side: "right" },
    { seconds: 190, side: "right" },
    { seconds: 190.1, side: "excess" },
  ])("of $seconds s in a window of 70 to 190 is $side", ({ seconds, side }) => {
    expect(layerSide(simple, seconds)).toBe(side);
  });

  it("of a material without a window is on no side", () => {
    expect(layerSide({ window: null }, 1e6)).toBe("unknown");
  });
});

describe("the holds that fit", () => {
  it("are those with which every layer ends exactly at an end of its window", () => {
    const accounts = [account("Build-up", simple, 100)];
    const added = [{ name: "Fresh", material: simple }];
    const holds = fittingHolds(accounts, added, flash);
    expect([holds?.leastLayer, holds?.mostLayer]).toEqual(["Fresh", "Build-up"]);
    const ending = (seconds: number, index: number) =>
      layerForecasts(accounts, added, withPlanNumber(flash, "top-hold", seconds))[index]
        ?.afterEquivalentSeconds;
    expect(ending(holds?.leastSeconds ?? 0, 1)).toBeCloseTo(70, 9);
    expect(ending(holds?.mostSeconds ?? 0, 0)).toBeCloseTo(190, 9);
  });

  it.prop([
    plans(),
    fc.double({ min: 0, max: 400, noNaN: true }),
    fc.double({ min: 0, max: 300, noNaN: true }),
  ])("are just those with which no layer is short or excess", (any, before, seconds) => {
    const top = planNumber(any, "top") ?? 0;
    // Counted hotter than the top, so that a second of the hold is worth less than one.
    const near = { ...simple, referenceCelsius: top + 20 };
    const accounts = [account("Earlier", near, before)];
    const added = [{ name: "New", material: near }];
    const holds = fittingHolds(accounts, added, any);
    if (!holds || holds.mostSeconds === null) throw new RangeError("requires holds");
    const isNear = [holds.leastSeconds, holds.mostSeconds].some((end) => Math.abs(end - seconds) < 1e-6);
    fc.pre(!isNear);
    const forecasts = layerForecasts(accounts, added, withPlanNumber(any, "top-hold", seconds));
    const areRight = forecasts.every(({ sideAfter }) => sideAfter === "right");
    expect(areRight).toBe(seconds >= holds.leastSeconds && seconds <= holds.mostSeconds);
  });

  it("are below nothing at most where the climb alone is too much", () => {
    const holds = fittingHolds([account("Build-up", simple, 185)], [], flash);
    expect(holds).toMatchObject({ leastSeconds: 0, leastLayer: null, mostLayer: "Build-up" });
    expect(holds?.mostSeconds).toBeLessThan(0);
  });

  it("are shortened by a free cooling that is reckoned with", () => {
    const hold = (rate: number | null) =>
      fittingHolds([account("a", simple, 60)], [], flash, rate)?.mostSeconds ?? 0;
    expect(hold(null) - hold(60)).toBeGreaterThan(25);
  });

  it("are null where no layer states a window, or nothing climbs", () => {
    expect(fittingHolds([account("a", { ...simple, window: null }, 100)], [], flash)).toBeNull();
    expect(fittingHolds([account("a", simple, 100)], [], { ...flash, steps: [] })).toBeNull();
  });
});

describe("the window of a bake's heat work", () => {
  it("runs from the share at which the last layer is right to that at which the first is too much", () => {
    // 60 s of the hold and the climb: planned() in all; the earlier layer bears 90 more, the new one wants 70
    const accounts = [account("Build-up", simple, 100)];
    const window = heatWorkWindow(accounts, [{ name: "Fresh", material: simple }], flash);
    expect(window).toMatchObject({ lowLayer: "Fresh", highLayer: "Build-up" });
    expect(window?.lowRatio).toBeCloseTo(70 / planned(simple), 9);
    expect(window?.highRatio).toBeCloseTo(90 / planned(simple), 9);
  });

  it("is the same in whatever seconds a layer counts: at another reference with its window moved along", () => {
    const elsewhere = { ...simple, referenceCelsius: 740 };
    const factor = planned(elsewhere) / planned(simple);
    const moved: Material = {
      ...elsewhere,
      window: { leastEquivalentSeconds: 70 * factor, mostEquivalentSeconds: 190 * factor },
    };
    const here = heatWorkWindow([], [{ name: "a", material: simple }], flash);
    const there = heatWorkWindow([], [{ name: "a", material: moved }], flash);
    expect(there?.lowRatio).toBeCloseTo(here?.lowRatio ?? 0, 9);
    expect(there?.highRatio).toBeCloseTo(here?.highRatio ?? 0, 9);
  });

  it("has nothing left where a layer is past its window, and never less than nothing", () => {
    expect(heatWorkWindow([account("a", simple, 300)], [], flash)).toEqual({
      lowRatio: 0,
      highRatio: 0,
      lowLayer: null,
      highLayer: "a",
    });
  });

  it.each([0, 10, 30, 60, 100, 130, 170])(
    "is that of a comparison's ratio, with its free cooling on both sides: after a hold of %i s",
    (seconds) => {
      const material = { ...simple, window: { leastEquivalentSeconds: 70, mostEquivalentSeconds: 150 } };
      const samples = fired(withPlanNumber(flash, "top-hold", seconds), 1, 60);
      const options = { activationEnergyJoulesPerMole: 325_000, isFinished: true };
      const { ratio } = comparison(flash, samples, options).heatWork;
      const window = heatWorkWindow([], [{ name: "a", material }], flash, 60);
      const had = layerPortion(material, { bakeId: 1, trace: samples, ware: null });
      const side = layerSide(material, had.chamberEquivalentSeconds);
      expect({ side, ratio: heatWorkSide(window, ratio) }).toEqual({ side, ratio: side });
    },
  );

  it("takes a free cooling as scaled with the rest", () => {
    const added = [{ name: "a", material: simple }];
    const whole = layerForecasts([], added, flash, 60)[0]?.addedEquivalentSeconds ?? Number.NaN;
    const window = heatWorkWindow([], added, flash, 60);
    expect((window?.lowRatio ?? 0) * whole).toBeCloseTo(70, 9);
    expect((window?.highRatio ?? 0) * whole).toBeCloseTo(190, 9);
  });

  it("is null where no layer states one", () => {
    expect(heatWorkWindow([account("a", { ...simple, window: null }, 1)], [], flash)).toBeNull();
    expect(heatWorkWindow([], [], flash)).toBeNull();
  });
});

function heatWorkSide(window: ReturnType<typeof heatWorkWindow>, ratio: number | null) {
  if (!window || ratio === null) return "unknown";
  if (ratio < window.lowRatio) return "short";
  return ratio > window.highRatio ? "excess" : "right";
}

function planned(material: Material): number {
  return curveEquivalentSeconds(setpointCurve(flash), material);
}

function portion(bakeId: number, chamberEquivalentSeconds: number): LayerAccount["portions"][number] {
  return { bakeId, chamberEquivalentSeconds, wareEquivalentSeconds: null, flowLengthMicrometres: null };
}

function account(name: string, material: Material, chamberEquivalentSeconds: number): LayerAccount {
  return { name, material, portions: [portion(1, chamberEquivalentSeconds)] };
}

function sides(forecasts: ReturnType<typeof layerForecasts>) {
  return forecasts.map(({ name, isNew, sideBefore, sideAfter }) => [name, isNew, sideBefore, sideAfter]);
}
