import { describe, expect, expectTypeOf, it } from "vitest";
import { curveEquivalentSeconds, type Kinetics } from "#core/heat/heat-work";
import { type GradedBake, type MaterialFit, materialFit } from "#core/heat/material-fit";
import type { Trace } from "#core/trace/trace";
import { materialFitSchema, type MaterialFit as SharedMaterialFit } from "#shared/material-fit";
import { sampled, trace } from "#tests/helpers/trace";

// Simulated laboratories, invented here: each has a material whose constants are known, fires it at tops of ±35 K
// about 760 °C with holds of 0 to 180 s and climbs of 25 to 80 K/min, and grades what comes out. Every other one
// blurs its grades as the fit supposes, the rest by a chance error of temperature, which it does not. The threshold
// at which the fit calls the energy untold, and the median in place of the highest point, were chosen on laboratories
// 1 to 150; the ones here are others.
const FIRST_JUDGING_SEED = 10_001;

const material: Kinetics = { activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760 };
/** Cuts between the five grades, s at 760 °C: right is 76 to 228 s, about the heat work of 60 s at 760 °C. */
const CUTS = [34, 76, 228, 620];
const GRADES = ["raw", "milky", "right", "glassy", "slumped"] as const;

describe("a material fitted to simulated laboratories", () => {
  const laboratories = Array.from({ length: 120 }, (_, index) => {
    const next = uniform(FIRST_JUDGING_SEED + index);
    const energy = 230_000 + 220_000 * next();
    const count = 8 + Math.floor(53 * next());
    const blurred = index % 2 === 0 ? blurredAsSupposed(next) : blurredByTemperature(next);
    const bakes = Array.from({ length: count }, () => firedBake(next, energy, blurred));
    return { energy, fit: materialFit(bakes, material) };
  });
  const fitted = laboratories.flatMap(({ energy, fit }) => (fit.kind === "fitted" ? [{ energy, fit }] : []));
  const told = fitted.flatMap(({ energy, fit }) =>
    fit.activationEnergyInterval ? [{ energy, fit, interval: fit.activationEnergyInterval }] : [],
  );

  it("comes to something in all laboratories of 8 to 60 bakes but a few, and tells the energy in most", () => {
    expect(fitted.length).toBeGreaterThanOrEqual(114);
    expect(told.length).toBeGreaterThanOrEqual(72);
  });

  // The true figures: all 120 fitted, 91 told; the interval held the true energy in 90.1 % of the 91; mean error
  // 47 kJ/mol with a mean lean of 2, against 55 of the usual 325 kJ/mol: sixty bakes tell the energy, but roughly.
  // Ends of the window: 9.6 % off in the median.

  it("holds the true energy in its 90 % interval in 85 to 99 % of them", () => {
    const held = told.filter(({ energy, interval }) => interval.low <= energy && energy <= interval.high);
    expect(held.length / told.length).toBeGreaterThan(0.85);
    expect(held.length / told.length).toBeLessThan(0.99);
  });

  it("is nearer to the true energy than the usual 325 kJ/mol is, and leans to neither side by 15", () => {
    const errors = told.map(({ energy, fit }) => fit.activationEnergyJoulesPerMole - energy);
    const usual = told.map(({ energy }) => 325_000 - energy);
    expect(mean(errors.map(Math.abs))).toBeLessThan(mean(usual.map(Math.abs)));
    expect(Math.abs(mean(errors))).toBeLessThan(15_000);
  });

  it("finds where right begins and ends within a tenth, as a rule", () => {
    const misses = fitted.flatMap(({ fit: { window } }) =>
      window
        ? [Math.abs(window.leastEquivalentSeconds / 76 - 1), Math.abs(window.mostEquivalentSeconds / 228 - 1)]
        : [],
    );
    expect(misses.length).toBeGreaterThan(200);
    expect(median(misses)).toBeLessThan(0.1);
  });

  // 3 of 60; the fit's own line is one in twenty.
  it("takes grades drawn by lot for heat work in one laboratory of ten at most", () => {
    const aimless = Array.from({ length: 60 }, (_, index) => {
      const next = uniform(2 * FIRST_JUDGING_SEED + index);
      const bakes = Array.from({ length: 30 }, () => firedBake(next, 325_000, blurredAsSupposed(next)));
      const drawn = bakes.map((bake) => ({ ...bake, grade: GRADES[1 + Math.floor(3 * next())] ?? "right" }));
      return materialFit(drawn, material);
    });
    const taken = aimless.filter(({ kind }) => kind === "fitted");
    expect(taken.length).toBeLessThanOrEqual(6);
    expect(aimless.find(({ kind }) => kind === "not-enough")?.sentence).toBe(
      "The grades of these 30 bakes do not clearly follow their heat work: a fit needs more bakes, or bakes whose tops and holds lie further apart.",
    );
  });
});

describe("a material fit", () => {
  const next = uniform(7);
  const many = Array.from({ length: 60 }, () => firedBake(next, 300_000, blurredAsSupposed(next)));

  it("leaves out bakes with a vacuum fault, and says so", () => {
    const overFired = sampled(firing({ topCelsius: 800, holdSeconds: 180, kelvinPerMinute: 45 }), 10);
    const faulty = Array.from({ length: 10 }, (): GradedBake => {
      return { trace: overFired, grade: "milky", hadVacuumFault: true };
    });
    const clean = materialFit(many, material);
    const flagged = materialFit([...many, ...faulty], material);
    expect(flagged).toEqual({
      ...clean,
      sentence: `${clean.sentence} 10 bakes with a vacuum fault left out: milky then says nothing about heat work.`,
    });
    // Not flagged, they would spoil it.
    const passedOver = faulty.map((bake) => ({ ...bake, hadVacuumFault: false }));
    expect(materialFit([...many, ...passedOver], material)).not.toMatchObject({ bakes: 60 });
  });

  it("says nothing of the energy where bakes differ in nothing but their tops, and keeps the material's", () => {
    const alike = Array.from({ length: 41 }, (_, index) => {
      const curve = firing({ topCelsius: 735 + index * 1.25, holdSeconds: 60, kelvinPerMinute: 45 });
      return { trace: sampled(curve, 10), grade: gradeOf(curveEquivalentSeconds(curve, material)) };
    });
    const fit = materialFit(alike, { ...material, activationEnergyJoulesPerMole: 410_000 });
    expect(fit).toMatchObject({
      kind: "fitted",
      bakes: 41,
      activationEnergyJoulesPerMole: 410_000,
      activationEnergyInterval: null,
    });
    expect(fit.sentence).toContain("too much alike to tell the activation energy, so it stays 410 kJ/mol");
  });

  it("stays finite where heat work parts the grades without a slip, and cuts between them", () => {
    const parted = [720, 730, 738, 755, 760, 765, 780, 790, 800].map((topCelsius, index) => {
      const curve = firing({ topCelsius, holdSeconds: 60, kelvinPerMinute: 45 });
      return {
        curve,
        trace: sampled(curve, 10),
        grade: (["milky", "right", "glassy"] as const)[Math.floor(index / 3)],
      };
    });
    const fit = materialFit(
      parted.map(({ trace: points, grade }) => ({ trace: points, grade: grade ?? "right" })),
      material,
    );
    const done = parted.map(({ curve }) => curveEquivalentSeconds(curve, material));
    if (fit.kind !== "fitted" || !fit.window) throw new Error(`no window: ${fit.sentence}`);
    expect(fit.window.leastEquivalentSeconds).toBeGreaterThan(done[2] ?? Number.NaN);
    expect(fit.window.leastEquivalentSeconds).toBeLessThan(done[3] ?? Number.NaN);
    expect(fit.window.mostEquivalentSeconds).toBeGreaterThan(done[5] ?? Number.NaN);
    expect(fit.window.mostEquivalentSeconds).toBeLessThan(done[6] ?? Number.NaN);
  });

  it("has no window, and says why, where nothing shows an end of right", () => {
    const only = (...grades: readonly GradedBake["grade"][]) =>
      materialFit(
        many.filter(({ grade }) => grades.includes(grade)),
        material,
      );
    expect(only("raw", "milky", "right")).toMatchObject({ kind: "fitted", window: null });
    expect(only("raw", "milky", "right").sentence).toContain(
      "No window: none had too much heat, so nothing shows where right ends.",
    );
    expect(only("right", "glassy").sentence).toContain(
      "No window: none had too little heat, so nothing shows where right begins.",
    );
    expect(only("milky", "glassy").sentence).toContain("No window: none of them came out right.");
  });

  it.each([
    { of: 0, from: many, sentence: "No graded bake to go by: a fit needs 6 or more." },
    { of: 1, from: many, sentence: "Only 1 graded bake to go by: a fit needs 6 or more." },
    { of: 5, from: many, sentence: "Only 5 graded bakes to go by: a fit needs 6 or more." },
    {
      of: 8,
      from: many.filter(({ grade }) => grade === "right"),
      sentence: "All 8 bakes came out right: a fit needs bakes with another grade, to see where right ends.",
    },
  ])("of $of bakes says: $sentence", ({ of, from, sentence }) => {
    expect(materialFit(from.slice(0, of), material)).toEqual({ kind: "not-enough", bakes: of, sentence });
  });

  it("leaves out a bake that has no trace", () => {
    const fit = materialFit([{ trace: [], grade: "right" }, ...many.slice(0, 3)], material);
    expect(fit.sentence).toBe(
      "Only 3 graded bakes to go by: a fit needs 6 or more. 1 bake without a heating trace left out.",
    );
  });

  it("is what crosses the boundary", () => {
    expectTypeOf<MaterialFit>().toExtend<SharedMaterialFit>();
    expectTypeOf<SharedMaterialFit>().toExtend<MaterialFit>();
    for (const fit of [materialFit(many, material), materialFit([], material)])
      expect(materialFitSchema.parse(fit)).toEqual(fit);
  });
});

/** mulberry32: a small generator of uniform numbers, from memory. */
function uniform(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

type Blur = (curve: Trace, kinetics: Kinetics) => number;

function firedBake(next: () => number, energy: number, blurred: Blur): GradedBake {
  const curve = firing({
    topCelsius: 760 + 35 * (2 * next() - 1),
    holdSeconds: [0, 15, 30, 60, 90, 120, 180][Math.floor(7 * next())] ?? 0,
    kelvinPerMinute: [25, 35, 45, 55, 70, 80][Math.floor(6 * next())] ?? 0,
  });
  const kinetics = { ...material, activationEnergyJoulesPerMole: energy };
  return { trace: sampled(curve, 10), grade: gradeOf(blurred(curve, kinetics)) };
}

/** A logistic blur of scale 0.12 in the ln of heat work. */
function blurredAsSupposed(next: () => number): Blur {
  return (curve, kinetics) => {
    const chance = 1e-6 + (1 - 2e-6) * next();
    return curveEquivalentSeconds(curve, kinetics) * (chance / (1 - chance)) ** 0.12;
  };
}

/** The ware hotter or colder than measured, by a normal error of 4 K. */
function blurredByTemperature(next: () => number): Blur {
  return (curve, kinetics) => {
    const normal = Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
    return curveEquivalentSeconds(curve, kinetics, 4 * normal);
  };
}

function gradeOf(equivalentSeconds: number): GradedBake["grade"] {
  return GRADES[CUTS.filter((cut) => cut < equivalentSeconds).length] ?? "slumped";
}

function firing(of: {
  readonly topCelsius: number;
  readonly holdSeconds: number;
  readonly kelvinPerMinute: number;
}): Trace {
  const topMinutes = (of.topCelsius - 450) / of.kelvinPerMinute;
  const endMinutes = topMinutes + of.holdSeconds / 60;
  const hold = of.holdSeconds > 0 ? `${endMinutes}:${of.topCelsius}` : "";
  return trace(`0:450 ${topMinutes}:${of.topCelsius} ${hold} ${endMinutes + (of.topCelsius - 600) / 60}:600`);
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function median(values: readonly number[]): number {
  return [...values].sort((one, other) => one - other)[Math.floor(values.length / 2)] ?? Number.NaN;
}
