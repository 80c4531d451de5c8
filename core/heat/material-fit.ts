import { heatWorkEquivalentSeconds, type Kinetics } from "#core/heat/heat-work";
import {
  aimlessWords,
  energyWords,
  leftOutWords,
  noWindowWords,
  oneGradeWords,
  tooFewWords,
  windowWords,
} from "#core/heat/material-fit-words";
import { type GradedPoint, type OrdinalLogit, ordinalLogit } from "#core/heat/ordinal-logit";
import { gaps, type Trace } from "#core/trace/trace";

/** How a layer came out, from too little heat to too much. */
const GRADES = ["raw", "milky", "right", "glassy", "slumped"] as const;
type Grade = (typeof GRADES)[number];
const RIGHT = GRADES.indexOf("right");

/** Below this many bakes no constant is worth its name (our choice, no source). */
const FEWEST_BAKES = 6;

/** Energies looked at, J/mol, in even steps: wider than the honest range of such layers, 250,000 to 450,000. */
const LEAST_ENERGY = 200_000;
const MOST_ENERGY = 500_000;
const ENERGY_STEPS = 15;

/**
 * Where the interval is wider than this share of the energies looked at, the bakes do not tell the energy: no knowledge
 * at all would make it 0.9. Chosen on simulated laboratories (see the tests), none of which judges it.
 */
const WIDEST_SHARE = 0.8;

/**
 * How sharply grades change with the ln of heat work, as the prior has it, at the energy after it: a blur of some 6 K
 * from sensor, ware and eye (our choice, no source). It shrinks with the energy as kelvin weigh more.
 */
const USUAL_SLOPE = 8;
const AT_ENERGY = 325_000;

const NODE_COUNT = 5;

/** The ln of heat work is smooth in the energy: five of them, at Chebyshev's places, give all between to 5e-4. */
const NODES = Array.from({ length: NODE_COUNT }, (_, index) => {
  const share = (1 - Math.cos((Math.PI * (index + 0.5)) / NODE_COUNT)) / 2;
  return LEAST_ENERGY + share * (MOST_ENERGY - LEAST_ENERGY);
});

/** Twice the gain in ln likelihood over grades that follow nothing: one chance in twenty by luck (χ², one-sided). */
const CLEAR_GAIN = 2.71;

/** A bake of a layer, and how the layer came out. */
export interface GradedBake {
  /** °C over seconds: the layer's first bake, whole. */
  readonly trace: Trace;
  readonly grade: Grade;
  /** Left out then: trapped air makes a layer milky at any heat work. */
  readonly hadVacuumFault?: boolean | undefined;
}

/** The constants of a material from its own graded bakes, or why there are none. */
export type MaterialFit =
  | {
      readonly kind: "fitted";
      /** That went into it. */
      readonly bakes: number;
      readonly activationEnergyJoulesPerMole: number;
      /** 90 % of the likelihood lies in it; null when the bakes are too much alike to tell the energy. */
      readonly activationEnergyInterval: { readonly low: number; readonly high: number } | null;
      /** Seconds at the reference temperature; null when nothing shows where right begins or ends. */
      readonly window: {
        readonly leastEquivalentSeconds: number;
        readonly mostEquivalentSeconds: number;
      } | null;
      readonly sentence: string;
    }
  | { readonly kind: "not-enough"; readonly bakes: number; readonly sentence: string };

/** A bake made ready: its rank among the grades that came, and what it did at any energy. */
interface Prepared {
  readonly trace: Trace;
  readonly grade: number;
  /** At the nodes. */
  readonly logHeatWorks: readonly number[];
}

/**
 * The constants of a material from a laboratory's own graded bakes: its activation energy and its window of heat work.
 *
 *     P(grade ≤ j) = F(s·(θ_j − ln t_eq(E)))          F logistic; θ_j where grade j and the next are equally likely
 *
 *     t_eq  heat work, s at the material's reference temperature (`heat-work.ts`)     E  activation energy, J/mol
 *     window: e^θ of milky|right and of right|glassy
 *
 * For each energy from 200 to 500 kJ/mol the most likely cut points and slope are found (`ordinal-logit.ts`); what is
 * left is the profile likelihood of E. E is its median and the interval holds its middle 90 %: with few bakes the
 * profile's highest point runs to an end of the range, and its median does not. Only bakes that trade time for
 * temperature tell E: short and hot beside long and cool. Where they are all alike but for the top, the profile is
 * flat, the interval null, and the material keeps the energy that it came with.
 * A weak prior on the slope, worth about one bake, keeps it finite where one heat work parts the grades exactly.
 * Where a grade never came its band has no width: raw|right counts as milky|right.
 *
 * Source: proportional odds (McCullagh 1980) and profile likelihood, both from memory; nobody's published method for
 * ceramics. In simulated laboratories of 8 to 60 bakes three in four told the energy, the interval held the true one in
 * 90 %, E was 47 kJ/mol off on average and the ends of the window 10 % in the median: good for the window, rough for E.
 * Limits: by the chamber's temperature, so the constants are those of the material in this furnace, with its sensor's
 * error. Each bake the layer's first. One energy. A vacuum fault that nobody flagged passes for too little heat.
 * @param bakes     graded bakes of one material; those with a vacuum fault or without heat work are left out
 * @param kinetics  the material's reference temperature, and the energy it keeps where the bakes do not tell
 * @throws RangeError when two samples of a trace are out of time order
 * @example materialFit([], { activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760 }).sentence // "No graded bake to go by: a fit needs 6 or more."
 */
export function materialFit(bakes: readonly GradedBake[], kinetics: Kinetics): MaterialFit {
  const sound = bakes.filter(({ hadVacuumFault }) => !hadVacuumFault);
  const prepared = sound
    .map((bake) => preparedBake(bake, kinetics.referenceCelsius))
    .filter(({ logHeatWorks }) => logHeatWorks.every(Number.isFinite));
  const leftOut = leftOutWords(bakes.length - sound.length, sound.length - prepared.length);
  const missing = missingWords(prepared);
  if (missing) return notEnough(prepared.length, [missing, ...leftOut]);
  const energy = energyOf(prepared, kinetics);
  const followed = fitAt(prepared, { ...kinetics, activationEnergyJoulesPerMole: energy.joulesPerMole });
  if (2 * (followed.logLikelihood - aimlessLogLikelihood(prepared)) < CLEAR_GAIN)
    return notEnough(prepared.length, [aimlessWords(prepared.length), ...leftOut]);
  const window = windowOf(prepared, followed);
  return {
    kind: "fitted",
    bakes: prepared.length,
    activationEnergyJoulesPerMole: energy.joulesPerMole,
    activationEnergyInterval: energy.interval,
    window,
    sentence: [
      energyWords(prepared.length, energy.joulesPerMole, energy.interval),
      windowSentence(prepared, window, kinetics.referenceCelsius),
      ...leftOut,
    ].join(" "),
  };
}

function preparedBake({ trace, grade }: GradedBake, referenceCelsius: number): Prepared {
  const silences = gaps(trace);
  const logHeatWorks = NODES.map((activationEnergyJoulesPerMole) =>
    Math.log(heatWorkEquivalentSeconds(trace, { activationEnergyJoulesPerMole, referenceCelsius }, silences)),
  );
  return { trace, grade: GRADES.indexOf(grade), logHeatWorks };
}

/** Energy and interval from the profile likelihood; the material's own energy where the profile says nothing. */
function energyOf(bakes: readonly Prepared[], kinetics: Kinetics) {
  const energies = Array.from(
    { length: ENERGY_STEPS + 1 },
    (_, step) => LEAST_ENERGY + (step / ENERGY_STEPS) * (MOST_ENERGY - LEAST_ENERGY),
  );
  const profile = energies.map((energy) => {
    const points = pointsOf(bakes, ({ logHeatWorks }) => interpolated(logHeatWorks, energy));
    return ordinalLogit(points, usualSlope(energy)).logPosterior;
  });
  const at = (share: number) => quantile(energies, profile, share);
  const interval = { low: at(0.05), high: at(0.95) };
  const tells = interval.high - interval.low < WIDEST_SHARE * (MOST_ENERGY - LEAST_ENERGY);
  return tells
    ? { joulesPerMole: at(0.5), interval }
    : { joulesPerMole: kinetics.activationEnergyJoulesPerMole, interval: null };
}

/** The fit at one energy, by heat work as it is. */
function fitAt(bakes: readonly Prepared[], kinetics: Kinetics): OrdinalLogit {
  const points = pointsOf(bakes, ({ trace }) => Math.log(heatWorkEquivalentSeconds(trace, kinetics)));
  return ordinalLogit(points, usualSlope(kinetics.activationEnergyJoulesPerMole));
}

function usualSlope(energy: number): number {
  return (USUAL_SLOPE * AT_ENERGY) / energy;
}

function pointsOf(bakes: readonly Prepared[], x: (bake: Prepared) => number): GradedPoint[] {
  const came = gradesThatCame(bakes);
  return bakes.map((bake) => ({ x: x(bake), rank: came.indexOf(bake.grade) }));
}

function gradesThatCame(bakes: readonly Prepared[]): number[] {
  return GRADES.map((_, grade) => grade).filter((grade) => bakes.some((bake) => bake.grade === grade));
}

/** Lagrange's polynomial through the nodes. */
function interpolated(values: readonly number[], energy: number): number {
  return NODES.reduce((sum, node, index) => {
    const weight = NODES.reduce(
      (product, other, at) => (at === index ? product : (product * (energy - other)) / (node - other)),
      1,
    );
    return sum + weight * (values[index] ?? 0);
  }, 0);
}

/** The x below which a share of a likelihood lies, straight between its places (trapezoids). */
function quantile(xs: readonly number[], logLikelihoods: readonly number[], share: number): number {
  const highest = Math.max(...logLikelihoods);
  const densities = logLikelihoods.map((value) => Math.exp(value - highest));
  const pieces = densities.slice(1).map((density, index) => (density + (densities[index] ?? 0)) / 2);
  let left = share * pieces.reduce((sum, piece) => sum + piece, 0);
  for (const [index, piece] of pieces.entries()) {
    const [from, to] = [xs[index] ?? 0, xs[index + 1] ?? 0];
    if (left <= piece) return from + (left / piece) * (to - from);
    left -= piece;
  }
  return xs.at(-1) ?? 0;
}

/** ln of the likelihood if each grade came with its share of the bakes, whatever the heat work. */
function aimlessLogLikelihood(bakes: readonly Prepared[]): number {
  return bakes.reduce((sum, { grade }) => {
    const alike = bakes.filter((bake) => bake.grade === grade).length;
    return sum + Math.log(alike / bakes.length);
  }, 0);
}

function windowOf(bakes: readonly Prepared[], { cuts }: OrdinalLogit) {
  const at = gradesThatCame(bakes).indexOf(RIGHT);
  const [below, above] = [cuts[at - 1], cuts[at]];
  if (at < 0 || below === undefined || above === undefined) return null;
  return { leastEquivalentSeconds: Math.exp(below), mostEquivalentSeconds: Math.exp(above) };
}

function notEnough(bakes: number, sentences: readonly string[]): MaterialFit {
  return { kind: "not-enough", bakes, sentence: sentences.join(" ") };
}

function missingWords(bakes: readonly Prepared[]): string | null {
  const [grade, another] = gradesThatCame(bakes);
  if (grade === undefined || bakes.length < FEWEST_BAKES) return tooFewWords(bakes.length, FEWEST_BAKES);
  return another === undefined ? oneGradeWords(bakes.length, GRADES[grade] ?? "") : null;
}

function windowSentence(
  bakes: readonly Prepared[],
  window: ReturnType<typeof windowOf>,
  referenceCelsius: number,
): string {
  if (window) return windowWords(window, referenceCelsius);
  const came = gradesThatCame(bakes);
  if (!came.includes(RIGHT)) return noWindowWords("right");
  return noWindowWords(came.some((grade) => grade < RIGHT) ? "too-much" : "too-little");
}
