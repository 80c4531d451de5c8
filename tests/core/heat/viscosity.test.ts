import { readFileSync } from "node:fs";
import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import { GAS_CONSTANT } from "#core/heat/heat-work";
import type { Viscosity } from "#core/heat/material";
import {
  apparentActivationEnergyJoulesPerMole,
  celsiusAtViscosity,
  type Isokom,
  stiffenedByCrystals,
  stiffeningByCrystals,
  viscosityLogPascalSeconds,
  viscosityPascalSeconds,
  viscosityThrough,
} from "#core/heat/viscosity";
import { relativeError, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-examples";

/** log10 of poise or dPa·s, as the tables print it, is 1 more than log10 of Pa·s. */
const LOG_POISE = 1;

const numbers = z.array(z.number());
const byNumber = z.record(z.string(), z.number());

// Published: certificate of NBS SRM 710, isokoms of A. Fluegel, Glass Technol. 48 (2007) 13–30, constants of
// DGG standard glass I; what was computed, or is from memory, says so. tests/reference/glass-viscosity.json.
const constantsSchema = z.object({ A: z.number(), B: z.number(), T0_C: z.number() });
const glassSchema = z.object({
  name: z.string(),
  vft: constantsSchema.optional(),
  vft_fit: constantsSchema.optional(),
  certified_T_C_at_log10_poise: byNumber.optional(),
  recomputed_T_C: byNumber.optional(),
  isokoms_measured_C: byNumber.optional(),
});
const reference = new URL("../../reference/glass-viscosity.json", import.meta.url);
const { glasses } = z
  .object({ glasses: z.array(glassSchema) })
  .parse(JSON.parse(readFileSync(reference, "utf8")));

const fitted = glasses.flatMap(({ name, vft_fit, isokoms_measured_C }) =>
  vft_fit && isokoms_measured_C ? [{ name, constants: vft_fit, isokoms: isokomsOf(isokoms_measured_C) }] : [],
);
const tabled = glasses.flatMap(({ name, vft, recomputed_T_C }) =>
  vft && recomputed_T_C ? [{ name, viscosity: fromPoise(vft), rows: rowsOf(recomputed_T_C) }] : [],
);

describe("viscosity in the worked examples", () => {
  it("has a test for every one of them", () => {
    expect(sinteringExampleNames("vft")).toEqual([
      "vft-dgg1",
      "vft-nbs710-certificate",
      "vft-synthetic-dental-glass-S1",
      "vft-three-point-fit-srm717a",
    ]);
  });

  it("is that of the certificate of NBS SRM 710 (published, 1962)", () => {
    const { inputs, expected } = sinteringExample(
      "vft-nbs710-certificate",
      { A: z.number(), B: z.number(), T0_C: z.number(), log10_eta_poise: numbers },
      { T_C: numbers },
    );
    const found = inputs.log10_eta_poise.map((log) => celsiusAtViscosity(log - LOG_POISE, fromPoise(inputs)));
    expect(found).toHaveLength(5);
    for (const [index, celsius] of found.entries())
      expect(awayFrom(celsius, expected.T_C[index])).toBeLessThan(0.15);
  });

  it("of DGG standard glass I (constants published) is where the example computed it independently", () => {
    const { inputs, expected } = sinteringExample(
      "vft-dgg1",
      { A: z.number(), B: z.number(), T0_C: z.number(), log10_eta_dPas: numbers },
      { T_C: numbers },
    );
    const found = inputs.log10_eta_dPas.map((log) => celsiusAtViscosity(log - LOG_POISE, fromPoise(inputs)));
    for (const [index, celsius] of found.entries())
      expect(awayFrom(celsius, expected.T_C[index])).toBeLessThan(0.01);
  });

  it("through the isokoms of SRM 717a (published) is the fit that was computed independently", () => {
    const { inputs, expected } = sinteringExample(
      "vft-three-point-fit-srm717a",
      { T_C: numbers, log10_eta_dPas: numbers },
      {
        A: z.number(),
        B: z.number(),
        T0_C: z.number(),
        T_at_log_4_C: z.number(),
        T_at_log_7p65_C: z.number(),
      },
    );
    const fit = through(
      inputs.T_C.map((celsius, index) => ({
        celsius,
        logPascalSeconds: (inputs.log10_eta_dPas[index] ?? Number.NaN) - LOG_POISE,
      })),
    );
    expect(relativeError(fit.logPascalSeconds + LOG_POISE, expected.A)).toBeLessThan(1e-4);
    expect(relativeError(fit.kelvin, expected.B)).toBeLessThan(1e-4);
    expect(relativeError(fit.zeroCelsius, expected.T0_C)).toBeLessThan(1e-4);
    expect(relativeError(celsiusAtViscosity(4 - LOG_POISE, fit) ?? 0, expected.T_at_log_4_C)).toBeLessThan(
      1e-4,
    );
    expect(
      relativeError(celsiusAtViscosity(7.65 - LOG_POISE, fit) ?? 0, expected.T_at_log_7p65_C),
    ).toBeLessThan(1e-4);
  });

  it("and its activation energy are those of the invented glass S1 (computed independently)", () => {
    const { inputs, expected } = sinteringExample(
      "vft-synthetic-dental-glass-S1",
      { A: z.number(), B: z.number(), T0_C: z.number() },
      { T_C_at_log10_Pas: byNumber, log10_eta_at_C: byNumber, apparent_E_kJ_per_mol_at_C: byNumber },
    );
    const glass = { logPascalSeconds: inputs.A, kelvin: inputs.B, zeroCelsius: inputs.T0_C };
    for (const { at, value } of rowsOf(expected.T_C_at_log10_Pas))
      expect(relativeError(celsiusAtViscosity(at, glass) ?? 0, value)).toBeLessThan(1e-5);
    for (const { at, value } of rowsOf(expected.log10_eta_at_C)) {
      expect(relativeError(viscosityLogPascalSeconds(at, glass), value)).toBeLessThan(1e-5);
      expect(relativeError(Math.log10(viscosityPascalSeconds(at, glass)), value)).toBeLessThan(1e-5);
    }
    for (const { at, value } of rowsOf(expected.apparent_E_kJ_per_mol_at_C))
      expect(relativeError(apparentActivationEnergyJoulesPerMole(at, glass) / 1000, value)).toBeLessThan(
        1e-5,
      );
  });
});

describe("viscosity of the standard glasses", () => {
  it("of the certificate of SRM 710 gives its own rows within 0.1 °C", () => {
    const { viscosity, certified } = srm710();
    expect(certified).toHaveLength(5);
    for (const { at, value } of certified)
      expect(awayFrom(celsiusAtViscosity(at - LOG_POISE, viscosity), value)).toBeLessThan(0.1);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { name: "NBS/NIST SRM 710",     computed: [1292.7, 725.2, 555.6],  withinKelvin: 0.5 }, // certificate against isokoms measured elsewhere
    { name: "NIST SRM 711",         computed: [1184.5, 613.5, 443.1],  withinKelvin: 0.6 }, // constants from memory against published isokoms
    { name: "DGG standard glass I", computed: [1302.2, 716.8, 542.7],  withinKelvin: 5 },   // fit with a scatter of 0.16 in log η
  ])("of $name comes within $withinKelvin K of isokoms published apart from it", ({ name, computed, withinKelvin }) => {
    const glass = glasses.find((candidate) => candidate.name === name);
    if (!glass?.vft || !glass.isokoms_measured_C) throw new RangeError(`no isokoms of ${name}`);
    const found = rowsOf(glass.isokoms_measured_C).map(({ at, value }) => ({
      celsius: celsiusAtViscosity(at - LOG_POISE, fromPoise(glass.vft ?? constantsSchema.parse(null))) ?? Number.NaN,
      published: value,
    }));
    expect(found.map(({ celsius }) => Number(celsius.toFixed(1)))).toEqual(computed);
    for (const { celsius, published } of found) expect(awayFrom(celsius, published)).toBeLessThan(withinKelvin);
  });

  it.each(tabled)("of $name is where the table computed it, to its printed digit", ({ viscosity, rows }) => {
    expect(rows.length).toBeGreaterThan(10);
    for (const { at, value } of rows)
      expect(awayFrom(celsiusAtViscosity(at - LOG_POISE, viscosity), value)).toBeLessThanOrEqual(0.0501);
  });

  it.each(fitted)("of $name goes exactly through its three isokoms (published)", ({ isokoms, constants }) => {
    const fit = through(isokoms);
    for (const { celsius, logPascalSeconds } of isokoms)
      expect(celsiusAtViscosity(logPascalSeconds, fit)).toBeCloseTo(celsius, 8);
    expect(relativeError(fit.logPascalSeconds + LOG_POISE, constants.A)).toBeLessThan(1e-4);
    expect(relativeError(fit.kelvin, constants.B)).toBeLessThan(1e-4);
    expect(relativeError(fit.zeroCelsius, constants.T0_C)).toBeLessThan(1e-4);
  });

  it("is not to be carried beyond its points: SRM 717a misses its strain point (from memory, 471 °C) by 10 K", () => {
    const srm717a = fitted.find(({ name }) => name === "NIST SRM 717a");
    const fit = through(srm717a?.isokoms ?? []);
    expect(celsiusAtViscosity(14.5 - LOG_POISE, fit)).toBeCloseTo(481.2, 1);
    expect(celsiusAtViscosity(7.65 - LOG_POISE, fit)).toBeCloseTo(716.0, 1);
  });
});

describe("viscosity", () => {
  it.prop([viscosities(), fc.double({ min: 5, max: 900, noNaN: true })])(
    "gives back the temperature that it came from",
    (glass, above) => {
      const celsius = glass.zeroCelsius + above;
      expect(celsiusAtViscosity(viscosityLogPascalSeconds(celsius, glass), glass)).toBeCloseTo(celsius, 7);
    },
  );

  it.prop([
    viscosities(),
    fc.double({ min: 30, max: 900, noNaN: true }),
    fc.double({ min: 0.1, max: 100, noNaN: true }),
  ])("falls as the glass gets hotter, and the activation energy with it", (glass, above, more) => {
    const celsius = glass.zeroCelsius + above;
    expect(viscosityPascalSeconds(celsius + more, glass)).toBeLessThan(
      viscosityPascalSeconds(celsius, glass),
    );
    expect(apparentActivationEnergyJoulesPerMole(celsius + more, glass)).toBeLessThan(
      apparentActivationEnergyJoulesPerMole(celsius, glass),
    );
  });

  it.prop([viscosities(), fc.double({ min: 100, max: 900, noNaN: true })])(
    "has the activation energy of its own slope over 1/T",
    (glass, above) => {
      const celsius = glass.zeroCelsius + above;
      const [cold, hot] = [celsius - 0.05, celsius + 0.05];
      const inverse = 1 / (cold + 273.15) - 1 / (hot + 273.15);
      const logs = viscosityLogPascalSeconds(cold, glass) - viscosityLogPascalSeconds(hot, glass);
      const slope = (GAS_CONSTANT * Math.LN10 * logs) / inverse;
      expect(relativeError(apparentActivationEnergyJoulesPerMole(celsius, glass), slope)).toBeLessThan(1e-5);
    },
  );

  it.prop([viscosities(), fc.shuffledSubarray([0, 1, 2], { minLength: 3 })])(
    "is known from any three of its points, in any order",
    (glass, order) => {
      const points = [12, 6.6, 3].map((logPascalSeconds) => ({
        celsius: celsiusAtViscosity(logPascalSeconds, glass) ?? Number.NaN,
        logPascalSeconds,
      }));
      const fit = through(order.flatMap((index) => points[index] ?? []));
      expect(fit.logPascalSeconds).toBeCloseTo(glass.logPascalSeconds, 6);
      expect(relativeError(fit.kelvin, glass.kelvin)).toBeLessThan(1e-7);
      expect(fit.zeroCelsius).toBeCloseTo(glass.zeroCelsius, 5);
    },
  );

  it("is infinite at and below T0, and never thinner than 10^A", () => {
    const glass = { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 };
    for (const celsius of [153, 20]) {
      expect(viscosityPascalSeconds(celsius, glass)).toBe(Number.POSITIVE_INFINITY);
      expect(viscosityLogPascalSeconds(celsius, glass)).toBe(Number.POSITIVE_INFINITY);
      expect(apparentActivationEnergyJoulesPerMole(celsius, glass)).toBe(Number.POSITIVE_INFINITY);
    }
    expect(celsiusAtViscosity(-2.5, glass)).toBeNull();
    expect(celsiusAtViscosity(-3, glass)).toBeNull();
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "rises with temperature",        points: [[500, 5], [700, 7], [900, 8]] },
    { what: "falls ever faster",             points: [[500, 12], [700, 11], [900, 5]] },
    { what: "is the same at two of them",    points: [[500, 8], [700, 8], [900, 5]] },
    { what: "has two values at one of them", points: [[500, 8], [500, 7], [900, 5]] },
    { what: "falls in a straight line",      points: [[500, 9], [700, 7], [900, 5]] },
  ])("has no curve where it $what", ({ points }) => {
    expect(viscosityThrough(triple(points.map(([celsius = 0, logPascalSeconds = 0]) => ({ celsius, logPascalSeconds }))))).toBeNull();
  });
});

describe("crystals in a melt", () => {
  // Krieger and Dougherty 1959, law and constants from memory; leucite shares of veneering ceramics:
  // Y. Zhang, J. R. Kelly, Dent. Clin. North Am. 61 (2017) 797–819, table 1.
  it.each([
    { crystals: 0.06, factor: 1.17 },
    { crystals: 0.25, factor: 2.24 },
  ])("of $crystals by volume make it $factor times as stiff", ({ crystals, factor }) => {
    expect(stiffeningByCrystals(crystals)).toBeCloseTo(factor, 2);
  });

  it("stiffen it by 2.5 times their share when they are few (Einstein 1906, corrected 1911)", () => {
    expect((stiffeningByCrystals(1e-6) - 1) / 1e-6).toBeCloseTo(2.5, 4);
    expect(stiffeningByCrystals(0)).toBe(1);
  });

  it("raise the temperature of a viscosity: 25 % of them by some 20 K at softening", () => {
    const glass = { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 };
    const stiffer = stiffenedByCrystals(glass, 0.25);
    expect(
      relativeError(viscosityPascalSeconds(700, stiffer), 2.24 * viscosityPascalSeconds(700, glass)),
    ).toBeLessThan(0.005);
    const riseKelvin = (celsiusAtViscosity(6.6, stiffer) ?? 0) - (celsiusAtViscosity(6.6, glass) ?? 0);
    expect(riseKelvin).toBeGreaterThan(15);
    expect(riseKelvin).toBeLessThan(25);
  });

  it("lock from 0.6 on", () => {
    expect(stiffeningByCrystals(0.6)).toBe(Number.POSITIVE_INFINITY);
    expect(() =>
      stiffenedByCrystals({ logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 }, 0.6),
    ).toThrow(new RangeError("stiffening requires a crystal share from 0 to below 0.6, got 0.6"));
  });
});

function viscosities(): fc.Arbitrary<Viscosity> {
  return fc.record({
    logPascalSeconds: fc.double({ min: -4, max: 0, noNaN: true }),
    kelvin: fc.double({ min: 2000, max: 8000, noNaN: true }),
    zeroCelsius: fc.double({ min: 50, max: 350, noNaN: true }),
  });
}

function srm710() {
  const glass = glasses.find(({ name }) => name === "NBS/NIST SRM 710");
  if (!glass?.vft || !glass.certified_T_C_at_log10_poise) throw new RangeError("no certificate of SRM 710");
  return { viscosity: fromPoise(glass.vft), certified: rowsOf(glass.certified_T_C_at_log10_poise) };
}

function fromPoise({ A, B, T0_C }: z.infer<typeof constantsSchema>): Viscosity {
  return { logPascalSeconds: A - LOG_POISE, kelvin: B, zeroCelsius: T0_C };
}

function isokomsOf(celsiusAtLogPoise: Readonly<Record<string, number>>): Isokom[] {
  return rowsOf(celsiusAtLogPoise).map(({ at, value }) => ({
    celsius: value,
    logPascalSeconds: at - LOG_POISE,
  }));
}

function rowsOf(table: Readonly<Record<string, number>>) {
  return Object.entries(table)
    .map(([at, value]) => ({ at: Number(at), value }))
    .sort((a, b) => a.at - b.at);
}

function through(points: readonly Isokom[]): Viscosity {
  const fit = viscosityThrough(triple(points));
  if (!fit) throw new RangeError("no curve through these points");
  return fit;
}

function triple(points: readonly Isokom[]): readonly [Isokom, Isokom, Isokom] {
  const [one, two, three] = points;
  if (!one || !two || !three) throw new RangeError(`a fit requires three points, got ${points.length}`);
  return [one, two, three];
}

function awayFrom(one: number | null, other: number | undefined): number {
  return Math.abs((one ?? Number.NaN) - (other ?? Number.NaN));
}
