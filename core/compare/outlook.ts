import type { Comparison } from "#core/compare/comparison";
import { type Course, courseOfPlan, coursesAfter, guides, likeness } from "#core/compare/outlook-courses";
import { type Standing, standingOf } from "#core/compare/outlook-standing";
import { type Ending, endingOf, STANDSTILL_FRACTION } from "#core/compare/outlook-walk";
import type { RememberedBake } from "#core/compare/remembered-bake";
import { curveEquivalentSeconds, type Kinetics } from "#core/heat/heat-work";
import { legs, type Plan, topCelsius, topLegIndex } from "#core/plan/plan";
import { setpointCurve } from "#core/plan/setpoint";
import { mean } from "#core/statistics/mean";
import { studentQuantile95 } from "#core/statistics/student";
import { weightedMedian } from "#core/statistics/weighted-median";
import { weightedScatter } from "#core/statistics/weighted-scatter";
import type { Trace } from "#core/trace/trace";

/** Where a bake is going. Ratios are of the planned heat work of the whole bake, as in a comparison. */
export interface Outlook {
  /** The highest temperature that is coming; null once it is past. */
  readonly peak: { readonly celsius: number; readonly inSeconds: number } | null;
  /** If from now on everything went exactly as planned. */
  readonly asPlannedRatio: number;
  /** If it goes on as this furnace does, with an interval that holds nine times in ten. */
  readonly asGoing: { readonly ratio: number; readonly lowRatio: number; readonly highRatio: number };
  /** The hold that would make the ratio 1; null where none would, where none is left to change, or unsure. */
  readonly hold: {
    /** Which hold, counted from 1. */
    readonly index: number;
    readonly plannedSeconds: number;
    /** As the furnace counts it: where it waits for its temperature, that wait is not in it. */
    readonly neededSeconds: number;
  } | null;
  /** How many earlier bakes of this furnace it rests on. */
  readonly learnedFromBakes: number;
}

/** A hold is not proposed to be longer than this many times the planned one, and so many seconds. */
const LONGEST_HOLD = { times: 3, seconds: 120 };

/**
 * How far a furnace strays from its own ways, as a share of the heat work that is still to come, and how many
 * bakes that belief is worth: chosen on simulated furnaces that none of the checks uses.
 */
const PRIOR = { spread: 0.021, bakes: 4, unlearnedSpread: 0.12 };

/** The heat work that no prediction is better than, as a share of the whole: noise, corners. */
const LEAST_SPREAD = 0.003;

/** Holds of this length or less are harder to foresee, s: chosen as the spread is. */
const SHORT_HOLD_SECONDS = 10;

/** A climb may begin so softly for so long, s. */
const SOFT_START_SECONDS = 60;

/** No hold is named while half of the interval is wider than this: somebody might act on a guess. */
const MOST_DOUBT = 0.06;

/** A normal deviate that 95 of 100 stay below. */
const NORMAL_95 = 1.645;

/**
 * Looks ahead from a running bake: the rest is taken from the plan, with the ways that this furnace had in
 * earlier bakes laid on it (how it enters a hold, how long it counts, how it cools), from the present
 * temperature on. Each earlier bake gives its courses, weighted by how near this bake has come to them; their
 * weighted median is the answer, and their spread, with a prior for how furnaces stray, its interval.
 * @param trace       the bake so far, as recorded
 * @param comparison  of this trace with this plan, so far
 * @param earlier     of the same furnace, any plan; none gives the plan's own course and a wide interval
 * @returns null before the first climb, at the end, where the plan has no climb, and while a climb stands still:
 *          whether it will ever arrive nobody can say
 */
export function outlook(
  plan: Plan,
  trace: Trace,
  comparison: Comparison,
  earlier: readonly RememberedBake[],
): Outlook | null {
  const kinetics: Kinetics = {
    activationEnergyJoulesPerMole: comparison.heatWork.activationEnergyJoulesPerMole,
    referenceCelsius: topCelsius(plan),
  };
  const plannedSeconds = curveEquivalentSeconds(setpointCurve(plan), kinetics);
  const standing = standingOf(plan, trace, comparison, plannedSeconds);
  if (!standing || standsStill(plan, standing)) return null;
  const known = guides(plan, earlier);
  const learned = coursesAfter(plan, known, earlier);
  const courses = learned.length > 0 ? learned : [courseOfPlan(plan, [])];
  const ending = (course: Course, holdSeconds: number | null) =>
    endingOf(plan, standing, course, kinetics, holdSeconds);
  const ratioOf = ({ totalEquivalentSeconds, unplannedEquivalentSeconds }: Ending) =>
    totalEquivalentSeconds / (plannedSeconds + unplannedEquivalentSeconds);
  const weights = courses.map((course) => likeness(course, standing));
  const endings = courses.map((course) => ending(course, null));
  const ratios = endings.map(ratioOf);
  const ratio = weightedMedian(ratios, weights);
  const doubtful = mean(endings.map(comingShare)) * shortHoldFactor(plan);
  const half = halfInterval(ratios, weights, doubtful, known.length);
  return {
    peak: highest(endings, comparison.peakCelsius),
    asPlannedRatio: ratioOf(ending(courseOfPlan(plan, learned), null)),
    asGoing: { ratio, lowRatio: ratio * Math.exp(-half), highRatio: ratio * Math.exp(half) },
    hold:
      half > MOST_DOUBT
        ? null
        : neededHold(plan, standing, (holdSeconds) =>
            weightedMedian(
              courses.map((course) => ratioOf(ending(course, holdSeconds))),
              weights,
            ),
          ),
    learnedFromBakes: known.length,
  };
}

/** A climb that should be well under way and hardly moves. */
function standsStill(plan: Plan, { kind, leg, climbingSeconds, kelvinPerSecond }: Standing): boolean {
  const planned = (legs(plan)[leg]?.kelvinPerMinute ?? 0) / 60;
  return (
    kind === "climb" &&
    climbingSeconds > SOFT_START_SECONDS &&
    kelvinPerSecond < STANDSTILL_FRACTION * planned
  );
}

/** The highest temperature that still comes, by the mean of the courses; null when there was one as high. */
function highest(endings: readonly Ending[], seenCelsius: number | null): Outlook["peak"] {
  const celsius = mean(endings.map(({ peakCelsius }) => peakCelsius));
  const inSeconds = mean(endings.map(({ peakInSeconds }) => peakInSeconds));
  return celsius > (seenCelsius ?? Number.NEGATIVE_INFINITY) && inSeconds > 0 ? { celsius, inSeconds } : null;
}

function comingShare({ comingEquivalentSeconds, totalEquivalentSeconds }: Ending): number {
  return totalEquivalentSeconds > 0 ? comingEquivalentSeconds / totalEquivalentSeconds : 0;
}

/** A short hold ends while the chamber still turns: there a second is a larger part of what is to come. */
function shortHoldFactor(plan: Plan): number {
  const holdSeconds = legs(plan)[topLegIndex(plan)]?.holdSeconds ?? 0;
  return 1 + (2 * SHORT_HOLD_SECONDS) / (holdSeconds + SHORT_HOLD_SECONDS);
}

/** Half the width of the interval of the ratio, in its logarithm. */
function halfInterval(
  ratios: readonly number[],
  weights: readonly number[],
  share: number,
  learned: number,
): number {
  if (learned === 0) return NORMAL_95 * (PRIOR.unlearnedSpread * share + LEAST_SPREAD);
  const freedom = PRIOR.bakes + learned - 1;
  const prior = PRIOR.spread * share;
  const logs = ratios.map((ratio) => Math.log(ratio));
  const variance = (PRIOR.bakes * prior ** 2 + weightedScatter(logs, weights)) / freedom;
  const spread = Math.sqrt(variance * (1 + 1 / learned) + LEAST_SPREAD ** 2);
  return studentQuantile95(freedom) * spread;
}

/** The hold that makes the ratio 1, by halving: the ratio grows with the hold. */
function neededHold(
  plan: Plan,
  standing: Standing,
  ratioWith: (holdSeconds: number) => number,
): Outlook["hold"] {
  const index = topLegIndex(plan);
  const leg = legs(plan)[index];
  if (!leg || standing.leg > index || standing.kind === "cooling") return null;
  let low = 0;
  let high = LONGEST_HOLD.times * leg.holdSeconds + LONGEST_HOLD.seconds;
  const shortest = ratioWith(low);
  if (shortest > 1 || ratioWith(high) < 1) return null;
  while (high - low > 0.1) {
    const middle = (low + high) / 2;
    if (ratioWith(middle) < 1) low = middle;
    else high = middle;
  }
  return { index: index + 1, plannedSeconds: leg.holdSeconds, neededSeconds: (low + high) / 2 };
}
