import type { BakeCase, CaseSize, Framework } from "#core/plan/bake-case";
import type { TracePoint } from "#core/trace/slope";
import { celsiusFromKelvin, kelvinFromCelsius } from "#core/units";

/** How a body takes up heat by radiation. */
export interface WareProperties {
  readonly kilogramsPerCubicMetre: number;
  readonly joulesPerKilogramKelvin: number;
  /** Effective emissivity between body and muffle, both grey. */
  readonly emissivityFraction: number;
  /** Share of both faces that sees the muffle: the rest looks at the pin, the tray or the piece itself. */
  readonly exposedFraction: number;
}

/** A piece in the muffle, as one lump of heat. */
export interface Ware {
  readonly framework: Framework;
  readonly grams: number;
  readonly wallMillimetres: number;
  /** Where they are known better than `wareProperties` of its framework. */
  readonly properties?: WareProperties | undefined;
}

/** A ware's own temperature, and how far it may be wrong. */
export interface WarePoint extends TracePoint {
  /** If it takes up heat 1.5 times as slowly, and as fast: the estimate's own doubt, °C. */
  readonly slowCelsius: number;
  readonly fastCelsius: number;
}

/** Stefan–Boltzmann constant, W/(m²·K⁴): exact to the digits given, CODATA 2018. */
export const STEFAN_BOLTZMANN_CONSTANT = 5.670374419e-8;

/** The estimate's doubt as a factor on the time constant, either way (our own judgement; properties from memory). */
export const WARE_DOUBT_FACTOR = 1.5;

/** Chamber and ware change at most by this in one step of the integration, K: the ware is then right to 0.01 K. */
const LONGEST_STEP_KELVIN = 2;

/** No stretch is cut finer than this, however far apart its ends: coarser is less exact, never unstable. */
const MOST_STEPS = 1000;

const MILLIMETRES_PER_METRE = 1000;
const GRAMS_PER_KILOGRAM = 1000;
const SQUARE_CENTIMETRES_PER_SQUARE_METRE = 10_000;
const SECONDS_PER_MINUTE = 60;

/**
 * At 500 to 800 °C, all from memory of general handbooks; emissivities and the share exposed are assumptions.
 * Metal is oxidised cobalt–chrome; `none` is feldspathic ceramic alone.
 */
const PROPERTIES: Readonly<Record<Framework, WareProperties>> = {
  zirconia: {
    kilogramsPerCubicMetre: 6050,
    joulesPerKilogramKelvin: 600,
    emissivityFraction: 0.8,
    exposedFraction: 0.6,
  },
  "lithium-disilicate": {
    kilogramsPerCubicMetre: 2450,
    joulesPerKilogramKelvin: 1100,
    emissivityFraction: 0.8,
    exposedFraction: 0.6,
  },
  metal: {
    kilogramsPerCubicMetre: 8400,
    joulesPerKilogramKelvin: 560,
    emissivityFraction: 0.7,
    exposedFraction: 0.6,
  },
  none: {
    kilogramsPerCubicMetre: 2450,
    joulesPerKilogramKelvin: 1100,
    emissivityFraction: 0.8,
    exposedFraction: 0.6,
  },
};

/** What a case of a size weighs in one unit, and how thick its walls are: our own choice, no source. */
const USUAL: Readonly<Record<CaseSize, Pick<Ware, "grams" | "wallMillimetres">>> = {
  small: { grams: 1, wallMillimetres: 1 },
  medium: { grams: 2, wallMillimetres: 2 },
  large: { grams: 5, wallMillimetres: 3 },
};

/**
 * The ware to reckon with where nobody has weighed it: an estimate by the size of the case. What counts is
 * the wall: ten crowns side by side warm up like one.
 * @example usualWare({ framework: "zirconia", caseSize: "large" }) // { framework: "zirconia", grams: 5, wallMillimetres: 3 }
 */
export function usualWare({ framework, caseSize }: Pick<BakeCase, "framework" | "caseSize">): Ware {
  return { framework, ...USUAL[caseSize] };
}

/**
 * Density, heat capacity, emissivity and share exposed of what carries the ceramic, at 500 to 800 °C.
 * From memory of general handbooks; zirconia stores about 1.35 times as much heat in a volume as lithium
 * disilicate, cobalt–chrome about 1.75 times. Translucent glass-ceramic in thin sections may be nearer an
 * emissivity of 0.5 to 0.7 (estimate), which is inside the doubt of `WarePoint`.
 * @example wareProperties("zirconia").kilogramsPerCubicMetre // 6050
 */
export function wareProperties(framework: Framework): WareProperties {
  return PROPERTIES[framework];
}

/**
 * The ware's own temperature under a chamber's: one lump that takes up heat by radiation alone.
 *
 *     ρ·c·V·dT/dt = ε·σ·A·(T_ch⁴ − T⁴)          T, T_ch in kelvin; A = 2·s·V/w
 *
 *     ρ density, c heat capacity, ε effective emissivity, σ Stefan–Boltzmann, V volume, w wall,
 *     s share of both faces exposed: only ρ·c·w/(2·s·ε) is left of them, so mass alone changes nothing
 *
 *     chamber   ╭──────────          the lag of a climb is about rate times time constant
 *              ╱ ╭═════════          (45 K/min, 1 mm zirconia: 12 K at 760 °C), and fades
 *     ware    ╱ ╱                    over the hold as exp(−t/τ)
 *            ╱ ╱
 *
 * Each stretch is solved exactly for a straight chamber and the radiative coefficient of its middle
 * (an exponential step of second order): the ware is a weighted mean of where it was and what the chamber
 * was since, so that no step, however long, makes it overshoot. A gap counts as straight.
 *
 * Limits: it starts at the chamber's first temperature, so begin before the climb. Nothing but radiation:
 * convection (5 to 15 W/m²K in air, none in vacuum; estimate) would warm it sooner below 500 °C. One
 * temperature throughout (`conductionLagKelvin` is what that leaves out), constant properties, muffle and
 * thermocouple at one temperature, no tray: a tray of 20 to 40 g lags one to three minutes itself.
 * A factor of 1.5 on the time constant either way is honest; `slowCelsius` and `fastCelsius` carry it.
 * @param chamber  °C over seconds, in rising time; any step
 * @returns one point for each of the chamber's, at its moments
 * @throws RangeError when two samples are out of time order, or the wall is not above 0 mm
 * @example wareTrace([{ atSeconds: 0, celsius: 450 }, { atSeconds: 400, celsius: 750 }], { framework: "zirconia", grams: 1, wallMillimetres: 1 }).map(({ celsius }) => Math.round(celsius)) // [450, 738]
 */
export function wareTrace(chamber: readonly TracePoint[], ware: Ware): WarePoint[] {
  const radiance = radiativeRate(ware);
  const points: WarePoint[] = [];
  let before: WarePoint | undefined;
  let from: TracePoint | undefined;
  for (const to of chamber) {
    before = before && from ? pointAfter(before, from, to, radiance) : firstWarePoint(to);
    points.push(before);
    from = to;
  }
  return points;
}

/**
 * The ware at the first moment of its bake: as warm as the chamber.
 * @example firstWarePoint({ atSeconds: 0, celsius: 450 }) // { atSeconds: 0, celsius: 450, slowCelsius: 450, fastCelsius: 450 }
 */
export function firstWarePoint({ atSeconds, celsius }: TracePoint): WarePoint {
  return { atSeconds, celsius, slowCelsius: celsius, fastCelsius: celsius };
}

/**
 * The ware one stretch of the chamber later: the step of `wareTrace`, for a bake that is still running.
 * @param before  the ware at the beginning of the stretch
 * @param from    the chamber then, °C
 * @param to      the chamber at the end of it; straight in between
 * @throws RangeError when the stretch runs backwards, or the wall is not above 0 mm
 * @example
 * nextWarePoint(firstWarePoint({ atSeconds: 0, celsius: 450 }), { atSeconds: 0, celsius: 450 }, { atSeconds: 9, celsius: 450 }, { framework: "zirconia", grams: 1, wallMillimetres: 1 }) // { atSeconds: 9, celsius: 450, slowCelsius: 450, fastCelsius: 450 }
 */
export function nextWarePoint(before: WarePoint, from: TracePoint, to: TracePoint, ware: Ware): WarePoint {
  return pointAfter(before, from, to, radiativeRate(ware));
}

/**
 * How slowly a ware follows, s: the time in which a small lag falls to 1/e.
 *
 *     τ = ρ·c·w/(2·s·h_r),  h_r = 4·ε·σ·T³          T in kelvin
 *
 * The lag at the end of a long climb is a little under rate times τ, since τ fell on the way: a third of
 * what it was, from 450 to 750 °C.
 * @param celsius  at which both ware and muffle are, °C
 * @throws RangeError when the wall is not above 0 mm
 * @example Math.round(wareTimeConstantSeconds(750, { framework: "zirconia", grams: 1, wallMillimetres: 1 }) * 100) / 100 // 15.56
 */
export function wareTimeConstantSeconds(celsius: number, ware: Ware): number {
  return 1 / (4 * radiativeRate(ware) * kelvinFromCelsius(celsius) ** 3);
}

/**
 * The surface through which a ware takes up heat, cm²: A = 2·s·m/(ρ·w), both faces of its wall.
 * @example Math.round(exposedSquareCentimetres({ framework: "zirconia", grams: 1, wallMillimetres: 1 }) * 1000) / 1000 // 1.983
 */
export function exposedSquareCentimetres({ framework, grams, wallMillimetres, properties }: Ware): number {
  const { kilogramsPerCubicMetre, exposedFraction } = properties ?? wareProperties(framework);
  const wallMetres = wallMillimetres / MILLIMETRES_PER_METRE;
  const squareMetres =
    (2 * exposedFraction * (grams / GRAMS_PER_KILOGRAM)) / (kilogramsPerCubicMetre * wallMetres);
  return squareMetres * SQUARE_CENTIMETRES_PER_SQUARE_METRE;
}

/**
 * How far the inside of a slab lags behind its heated face on a steady climb, K: what a lump leaves out.
 *
 *     ΔT = β·L²/(2·α)          β rate, L depth to the middle or to an insulated back, α diffusivity
 *
 * (Carslaw and Jaeger, Conduction of Heat in Solids, linear rise at one face; from memory.) Small in dense
 * pieces, but 8 K across 2 mm of unsintered powder: why thick wet build-ups want a slow first climb.
 * @param kelvinPerMinute               of the face
 * @param depthMillimetres              half the thickness when both faces are heated
 * @param squareMillimetresPerSecond    0.66 dense dentine porcelain (laser flash, J. Dent. 17 (1989) 290–294);
 *                                      about 0.69 zirconia, 0.18 unsintered powder (from memory)
 * @throws RangeError when the diffusivity is not above 0 mm²/s
 * @example Math.round(conductionLagKelvin(45, 2, 0.66) * 100) / 100 // 2.27
 */
export function conductionLagKelvin(
  kelvinPerMinute: number,
  depthMillimetres: number,
  squareMillimetresPerSecond: number,
): number {
  if (!(squareMillimetresPerSecond > 0))
    throw new RangeError(
      `conduction lag requires a diffusivity above 0 mm²/s, got ${squareMillimetresPerSecond} mm²/s`,
    );
  const kelvinPerSecond = kelvinPerMinute / SECONDS_PER_MINUTE;
  return (kelvinPerSecond * depthMillimetres ** 2) / (2 * squareMillimetresPerSecond);
}

/** ε·σ·A/(ρ·c·V), 1/(s·K³): how fast a ware takes up heat by radiation. */
function radiativeRate({ framework, wallMillimetres, properties }: Ware): number {
  if (!(wallMillimetres > 0))
    throw new RangeError(`ware requires a wall above 0 mm, got ${wallMillimetres} mm`);
  const known = properties ?? wareProperties(framework);
  const joulesPerSquareMetreKelvin =
    known.kilogramsPerCubicMetre * known.joulesPerKilogramKelvin * (wallMillimetres / MILLIMETRES_PER_METRE);
  return (
    (2 * known.exposedFraction * known.emissivityFraction * STEFAN_BOLTZMANN_CONSTANT) /
    joulesPerSquareMetreKelvin
  );
}

function pointAfter(before: WarePoint, from: TracePoint, to: TracePoint, radiance: number): WarePoint {
  if (!(to.atSeconds >= from.atSeconds))
    throw new RangeError(`ware requires rising time, got ${from.atSeconds} s then ${to.atSeconds} s`);
  return {
    atSeconds: to.atSeconds,
    celsius: celsiusAfter(before.celsius, from, to, radiance),
    slowCelsius: celsiusAfter(before.slowCelsius, from, to, radiance / WARE_DOUBT_FACTOR),
    fastCelsius: celsiusAfter(before.fastCelsius, from, to, radiance * WARE_DOUBT_FACTOR),
  };
}

function celsiusAfter(celsius: number, from: TracePoint, to: TracePoint, radiance: number): number {
  const seconds = to.atSeconds - from.atSeconds;
  const startKelvin = kelvinFromCelsius(from.celsius);
  const riseKelvin = to.celsius - from.celsius;
  let kelvin = kelvinFromCelsius(celsius);
  const reach = Math.min(1, seconds * followingRate(kelvin, startKelvin, radiance));
  const changeKelvin = Math.abs(riseKelvin) + Math.abs(startKelvin - kelvin) * reach;
  const steps = Math.max(1, Math.min(MOST_STEPS, Math.ceil(changeKelvin / LONGEST_STEP_KELVIN)));
  for (let step = 0; step < steps; step++) {
    const fromKelvin = startKelvin + (step / steps) * riseKelvin;
    kelvin = kelvinAfterStep(kelvin, fromKelvin, riseKelvin / steps, seconds / steps, radiance);
  }
  const lowest = Math.min(celsius, from.celsius, to.celsius);
  const highest = Math.max(celsius, from.celsius, to.celsius);
  return Math.min(highest, Math.max(lowest, celsiusFromKelvin(kelvin))); // rounding only
}

/** Exact for a straight chamber and the following rate of the middle; weights are positive and add up to 1. */
function kelvinAfterStep(
  kelvin: number,
  fromKelvin: number,
  riseKelvin: number,
  seconds: number,
  radiance: number,
): number {
  const early = Math.min(1, (seconds / 2) * followingRate(kelvin, fromKelvin, radiance));
  const middleKelvin = kelvin + early * (fromKelvin - kelvin);
  const timeConstants = seconds * followingRate(middleKelvin, fromKelvin + riseKelvin / 2, radiance);
  if (!(timeConstants > 0)) return kelvin;
  const kept = Math.exp(-timeConstants);
  const mean = (1 - kept) / timeConstants;
  return kept * kelvin + (1 - kept) * fromKelvin + (1 - mean) * riseKelvin;
}

/** T_ch⁴ − T⁴ = (T_ch² + T²)(T_ch + T)·(T_ch − T): what stands before the lag, 1/s. */
function followingRate(kelvin: number, chamberKelvin: number, radiance: number): number {
  return radiance * (chamberKelvin ** 2 + kelvin ** 2) * Math.max(0, chamberKelvin + kelvin);
}
