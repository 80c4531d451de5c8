import type { Comparison } from "#core/compare/comparison";
import {
  deviationsSoFar,
  MEMORY_STEP_SECONDS,
  passageCelsius,
  passageSeconds,
  type RememberedBake,
  type RememberedHold,
} from "#core/compare/remembered-bake";
import { curveEquivalentSeconds, heatWorkRate, type Kinetics } from "#core/heat/heat-work";
import { type Leg, legs, type Plan, topCelsius } from "#core/plan/plan";
import { setpointCurve } from "#core/plan/setpoint";
import { median } from "#core/statistics/median";
import { studentQuantile95 } from "#core/statistics/student";
import type { Trace } from "#core/trace/trace";

/** Where a bake is going. Ratios are of the planned heat work of the whole bake, as in a comparison. */
export interface Outlook {
  /** The highest temperature that is coming; null once it is past. */
  readonly peak: { readonly celsius: number; readonly inSeconds: number } | null;
  /** If from now on everything went exactly as planned. */
  readonly asPlannedRatio: number;
  /** If it goes on as this furnace does, with an interval that holds nine times in ten. */
  readonly asGoing: { readonly ratio: number; readonly lowRatio: number; readonly highRatio: number };
  /** The hold that would make the ratio 1; null where none would, or where there is no hold to change. */
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

/** What is left of a deviation that earlier bakes did not have falls off with this time, s (our choice). */
const DEVIATION_SECONDS = 90;

/** The same where the furnace leads the chamber down. */
const LED_DEVIATION_SECONDS = 15;

/** The same in a free cooling. */
const FREE_DEVIATION_SECONDS = 30;

/** The present temperature is that of a line through the last readings, s. */
const NOW_SECONDS = 6;

/** The climb goes on as it went for so long, s. */
const RATE_SECONDS = 30;

/** Bakes of this likeness are a guide by themselves, if there are at least two of them. */
const ALIKE = { topKelvin: 20, rateRatio: 1.25, holdRatio: 1.6, holdSeconds: 10 };

/** A hold is not proposed to be longer than this many times the planned one, and so many seconds. */
const LONGEST_HOLD = { times: 3, seconds: 120 };

/** Where nothing is known of a furnace's free cooling, K/s (common practice, no source). */
const FREE_COOLING_KELVIN_PER_SECOND = 0.8;

/** A course this far from the bake counts about half; none is forgotten. */
const LIKENESS_KELVIN = 0.8;
const LEAST_LIKENESS = 0.02;

/** A chamber that falls like this for so long cools, once the corner into the hold is behind it. */
const FALLING_KELVIN_PER_SECOND = -0.3;
const FALL_SECONDS = 8;
const CORNER_SECONDS = 20;

/** A furnace waits no longer than this for its temperature, as far as anybody looks ahead, s. */
const LONGEST_WAIT_SECONDS = 300;

/** Where a hold came to rest: its last ten seconds, but never more than its last sixth. */
const REST_STEPS = Math.round(10 / MEMORY_STEP_SECONDS);
const REST_SHARE = 1 / 6;

/** A climb at less than this share of its planned rate is no guide for its rest. */
const STANDSTILL_FRACTION = 0.2;

/** A cooling is followed for so long, s: by then it does no heat work any more. */
const COOLING_SECONDS = 420;

/**
 * How far a furnace strays from its own ways, as a share of the heat work that is still to come, and how many
 * bakes that belief is worth: chosen on simulated furnaces that none of the checks uses.
 */
const PRIOR = { spread: 0.025, bakes: 4, unlearnedSpread: 0.12 };

/** The heat work that no prediction is better than, as a share of the whole: noise, corners. */
const LEAST_SPREAD = 0.003;

/** A normal deviate that 95 of 100 stay below. */
const NORMAL_95 = 1.645;

/** What the rest of the bake would be like if it went as one earlier bake did. */
interface Course {
  readonly legs: readonly CourseLeg[];
  /** Kelvins above the last hold, so many seconds into the cooling. */
  readonly cooling: (seconds: number) => number;
  /** From when it is told to cool to the corner from which free cooling counts, s. */
  readonly cornerSeconds: number;
}

/** From the passage below a hold to its end. */
interface CourseLeg {
  readonly leg: Leg;
  /** Kelvins above the planned temperature, so many seconds after the passage. */
  readonly deviation: (seconds: number) => number;
  /** Seconds from the passage to the end, without the counted hold. */
  readonly aroundSeconds: number;
  readonly counts: Counting;
}

/** From when a furnace counts its hold: what repeats best among its earlier bakes. */
type Counting =
  | { readonly from: "passage" }
  /** Its end so long after what the plan says, counted from the start of its climb. */
  | { readonly from: "schedule"; readonly lateSeconds: number }
  /** It waits until it is this far from the planned temperature, K. */
  | { readonly from: "arrival"; readonly kelvin: number };

/** Where the bake stands. */
interface Standing {
  /** Which leg, counted from 0. */
  readonly leg: number;
  /** `hold`: past the passage below it. */
  readonly kind: "climb" | "hold" | "cooling";
  /** Seconds since the passage, or into the cooling. */
  readonly sinceSeconds: number;
  /** Kelvins above the hold so far, in steps of memory since the passage. */
  readonly deviationsKelvin: readonly number[];
  /** Since the start of this climb, s. */
  readonly climbingSeconds: number;
  readonly celsius: number;
  readonly kelvinPerSecond: number;
  readonly deliveredEquivalentSeconds: number;
  /** What of it nobody planned: free cooling so far. */
  readonly unplannedEquivalentSeconds: number;
}

/** A course to its end. */
interface Ending {
  readonly totalEquivalentSeconds: number;
  readonly unplannedEquivalentSeconds: number;
  readonly comingEquivalentSeconds: number;
  readonly peakCelsius: number;
  readonly peakInSeconds: number;
}

/**
 * Looks ahead from a running bake: the rest is taken from the plan, with the ways that this furnace had in
 * earlier bakes laid on it (how it enters a hold, how long it counts, how it cools), from the present
 * temperature on. Each earlier bake gives one course; their mean is the answer, and their spread, with a
 * prior for how furnaces stray, its interval.
 * @param trace       the bake so far, as recorded
 * @param comparison  of this trace with this plan, so far
 * @param earlier     of the same furnace, any plan; none gives the plan's own course and a wide interval
 * @returns null before the first climb, at the end, and where the plan has no climb
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
  if (!standing) return null;
  const known = guides(plan, earlier);
  const learned = coursesAfter(plan, known);
  const courses = learned.length > 0 ? learned : [courseOfPlan(plan, [])];
  const ending = (course: Course, holdSeconds: number | null) =>
    endingOf(plan, standing, course, kinetics, holdSeconds);
  const ratioOf = ({ totalEquivalentSeconds, unplannedEquivalentSeconds }: Ending) =>
    totalEquivalentSeconds / (plannedSeconds + unplannedEquivalentSeconds);
  const weights = courses.map((course) => likeness(course, standing));
  const endings = courses.map((course) => ending(course, null));
  const ratios = endings.map(ratioOf);
  const ratio = weightedMedian(ratios, weights);
  const half = halfInterval(ratios, weights, mean(endings.map(comingShare)), learned.length);
  return {
    peak: highest(endings, comparison.peakCelsius),
    asPlannedRatio: ratioOf(ending(courseOfPlan(plan, learned), null)),
    asGoing: { ratio, lowRatio: ratio * Math.exp(-half), highRatio: ratio * Math.exp(half) },
    hold: neededHold(plan, standing, (holdSeconds) =>
      weightedMedian(
        courses.map((course) => ratioOf(ending(course, holdSeconds))),
        weights,
      ),
    ),
    learnedFromBakes: learned.length,
  };
}

function standingOf(
  plan: Plan,
  trace: Trace,
  comparison: Comparison,
  plannedSeconds: number,
): Standing | null {
  const { stage, heatWork } = comparison;
  const end = trace.at(-1);
  const isCooling = stage.kind === "cooling" || isFalling(plan, trace, comparison);
  const planned = legs(plan);
  const index = isCooling ? planned.length - 1 : stage.index - 1;
  const leg = planned[index];
  if (!end || !leg || stage.kind === "drying" || stage.kind === "done") return null;
  const climbStart = comparison.climbs[index]?.actual?.startSeconds ?? end.atSeconds;
  const passage = passageSeconds(leg, trace, climbStart);
  const since = isCooling ? comparison.cooling.actual?.startSeconds : passage;
  return {
    leg: index,
    kind: isCooling ? "cooling" : passage === null ? "climb" : "hold",
    sinceSeconds: Math.max(0, end.atSeconds - (since ?? end.atSeconds)),
    deviationsKelvin: passage === null ? [] : deviationsSoFar(leg, trace, passage),
    climbingSeconds: Math.max(0, end.atSeconds - climbStart),
    celsius: lineThrough(trace, NOW_SECONDS).celsius,
    kelvinPerSecond: lineThrough(trace, RATE_SECONDS).kelvinPerSecond,
    deliveredEquivalentSeconds: heatWork.deliveredEquivalentSeconds,
    unplannedEquivalentSeconds: Math.max(0, heatWork.plannedEquivalentSeconds - plannedSeconds),
  };
}

/** Past the corner into its last hold and falling fast: the cooling has begun, if nobody has seen it yet. */
function isFalling(plan: Plan, trace: Trace, { stage, climbs }: Comparison): boolean {
  const last = legs(plan).at(-1);
  const climb = climbs.at(-1)?.actual;
  if (stage.kind === "drying" || stage.index < climbs.length || !last || !climb) return false;
  const passage = passageSeconds(last, trace, climb.startSeconds);
  const end = trace.at(-1)?.atSeconds ?? 0;
  if (passage === null || end - passage < CORNER_SECONDS) return false;
  return lineThrough(trace, FALL_SECONDS).kelvinPerSecond < FALLING_KELVIN_PER_SECOND;
}

/** A least-squares line through the last seconds of a trace: its end and its slope. */
function lineThrough(trace: Trace, seconds: number): { celsius: number; kelvinPerSecond: number } {
  const end = trace.at(-1)?.atSeconds ?? 0;
  const first = trace.findLastIndex(({ atSeconds }) => atSeconds < end - seconds) + 1;
  const last = trace.slice(Math.min(first, Math.max(trace.length - 2, 0)));
  const at = mean(last.map(({ atSeconds }) => atSeconds));
  const celsius = mean(last.map((sample) => sample.celsius));
  let top = 0;
  let bottom = 0;
  for (const sample of last) {
    top += (sample.atSeconds - at) * (sample.celsius - celsius);
    bottom += (sample.atSeconds - at) ** 2;
  }
  const kelvinPerSecond = bottom > 0 ? top / bottom : 0;
  return { celsius: celsius + kelvinPerSecond * (end - at), kelvinPerSecond };
}

/** How much a course counts: by how near the bake has come to it from the passage on. */
function likeness({ legs: courseLegs }: Course, { leg, deviationsKelvin }: Standing): number {
  const deviation = courseLegs[leg]?.deviation;
  if (!deviation || deviationsKelvin.length === 0) return 1;
  const squares = deviationsKelvin.map(
    (kelvin, step) => (kelvin - deviation((step + 0.5) * MEMORY_STEP_SECONDS)) ** 2,
  );
  return Math.exp(-mean(squares) / (2 * LIKENESS_KELVIN ** 2)) + LEAST_LIKENESS;
}

/** The earlier bakes that are a guide for this plan: those alike if there are two, else all. */
function guides(plan: Plan, earlier: readonly RememberedBake[]): readonly RememberedBake[] {
  const index = topLegIndex(plan);
  const leg = legs(plan)[index];
  const usable = earlier.filter((bake) => holdOf(bake, index) !== null);
  const alike = usable.filter((bake) => {
    const hold = holdOf(bake, index);
    return leg !== undefined && hold !== null && isAlike(leg, hold);
  });
  return alike.length >= 2 ? alike : usable;
}

function isAlike(leg: Leg, hold: RememberedHold): boolean {
  const rate = leg.kelvinPerMinute / hold.kelvinPerMinute;
  const held = (leg.holdSeconds + ALIKE.holdSeconds) / (hold.plannedSeconds + ALIKE.holdSeconds);
  return (
    Math.abs(leg.toCelsius - hold.celsius) <= ALIKE.topKelvin &&
    Math.max(rate, 1 / rate) <= ALIKE.rateRatio &&
    Math.max(held, 1 / held) <= ALIKE.holdRatio
  );
}

function holdOf(bake: RememberedBake, index: number): RememberedHold | null {
  return bake.holds[index] ?? bake.holds.findLast((other) => other !== null) ?? null;
}

/** The plan's own course; the cooling of earlier bakes where the plan leaves it free. */
function courseOfPlan(plan: Plan, learned: readonly Course[]): Course {
  const cooling = plannedCooling(plan);
  return {
    legs: legs(plan).map(straightLeg),
    cooling:
      plan.cooling.kind === "free" && learned.length > 0
        ? (seconds) => mean(learned.map((course) => course.cooling(seconds)))
        : cooling,
    cornerSeconds: mean(learned.map((course) => course.cornerSeconds)),
  };
}

/** A sharp corner: straight up to the hold, then level. */
function straightLeg(leg: Leg): CourseLeg {
  const kelvinPerSecond = leg.kelvinPerMinute / 60;
  const below = leg.toCelsius - passageCelsius(leg);
  return {
    leg,
    deviation: (seconds) => Math.min(0, kelvinPerSecond * seconds - below),
    aroundSeconds: below / kelvinPerSecond,
    counts: { from: "passage" },
  };
}

function plannedCooling(plan: Plan): (seconds: number) => number {
  const kelvinPerSecond =
    plan.cooling.kind === "steady" ? plan.cooling.kelvinPerMinute / 60 : FREE_COOLING_KELVIN_PER_SECOND;
  return (seconds) => -kelvinPerSecond * seconds;
}

/** One course for each earlier bake. */
function coursesAfter(plan: Plan, earlier: readonly RememberedBake[]): Course[] {
  const planned = legs(plan);
  const countings = planned.map((_, index) =>
    countingOf(earlier.flatMap((bake) => holdOf(bake, index) ?? [])),
  );
  return earlier.map((bake) => ({
    legs: planned.map((leg, index) => {
      const hold = holdOf(bake, index);
      const counts = hold && countings[index]?.(hold);
      return hold && counts ? rememberedLeg(leg, hold, counts) : straightLeg(leg);
    }),
    cooling: rememberedCoolingOf(plan, bake),
    cornerSeconds: bake.cooling?.cornerSeconds ?? 0,
  }));
}

/**
 * How a furnace counts its holds: from when it has arrived, by its schedule, or, where neither repeats better,
 * so long after the passage.
 */
function countingOf(holds: readonly RememberedHold[]): (hold: RememberedHold) => Counting {
  if (holds.length < 3) return () => ({ from: "passage" });
  const kelvin = median(holds.map(deviationWhenCounted));
  const misses = {
    passage: scatter(holds.map((hold) => hold.lengthSeconds - hold.plannedSeconds)),
    schedule: scatter(holds.map(({ lateSeconds }) => lateSeconds)),
    arrival: scatter(holds.map((hold) => afterArrivalSeconds(hold, kelvin))),
  };
  if (misses.arrival < 0.5 * Math.min(misses.passage, misses.schedule))
    return () => ({ from: "arrival", kelvin });
  if (misses.schedule < misses.passage) return ({ lateSeconds }) => ({ from: "schedule", lateSeconds });
  return () => ({ from: "passage" });
}

/** How far from the planned temperature the chamber was when the furnace began to count, K. */
function deviationWhenCounted({ deviationsKelvin, lengthSeconds, plannedSeconds }: RememberedHold): number {
  return inSteps(deviationsKelvin, Math.max(0, lengthSeconds - plannedSeconds));
}

/** From the arrival to the end, without the planned hold, s. */
function afterArrivalSeconds(hold: RememberedHold, kelvin: number): number {
  const step = hold.deviationsKelvin.findIndex((deviation) => deviation >= kelvin);
  const arrival = step < 0 ? hold.lengthSeconds : step * MEMORY_STEP_SECONDS;
  return hold.lengthSeconds - hold.plannedSeconds - arrival;
}

function rememberedLeg(leg: Leg, hold: RememberedHold, counts: Counting): CourseLeg {
  return {
    leg,
    deviation: (seconds) => inSteps(hold.deviationsKelvin, seconds),
    aroundSeconds: hold.lengthSeconds - hold.plannedSeconds,
    counts,
  };
}

function rememberedCoolingOf(plan: Plan, { cooling }: RememberedBake): Course["cooling"] {
  if (cooling === null || cooling.kind !== plan.cooling.kind) return plannedCooling(plan);
  const rate = plan.cooling.kind === "steady" ? plan.cooling.kelvinPerMinute : null;
  const stretch = rate && cooling.kelvinPerMinute ? rate / cooling.kelvinPerMinute : 1;
  return (seconds) => inSteps(cooling.fallsKelvin, seconds * stretch);
}

/** A list in steps of memory at a moment, straight in between; where it came to rest goes on after it. */
function inSteps(values: readonly number[], seconds: number): number {
  const at = Math.max(0, seconds / MEMORY_STEP_SECONDS - 0.5);
  const low = Math.floor(at);
  const from = values[low];
  const to = values[low + 1];
  if (from === undefined || to === undefined) return atRest(values);
  return from + (at - low) * (to - from);
}

function atRest(values: readonly number[]): number {
  return mean(values.slice(-Math.min(REST_STEPS, Math.max(1, Math.floor(REST_SHARE * values.length)))));
}

/**
 * Follows a course from where the bake stands to where it has cooled.
 * @param holdSeconds  the top hold as the furnace counts it; null for the planned one
 */
function endingOf(
  plan: Plan,
  standing: Standing,
  course: Course,
  kinetics: Kinetics,
  holdSeconds: number | null,
): Ending {
  const start: Walk = { ...NOT_WALKED, celsius: standing.celsius };
  const held = stretchesToCooling(plan, standing, course, holdSeconds).reduce(
    (walk, stretch) => walked(walk, stretch, kinetics),
    start,
  );
  const cooling = coolingStretch(plan, standing, course);
  const cooled = walked(held, cooling, kinetics);
  return {
    totalEquivalentSeconds: standing.deliveredEquivalentSeconds + cooled.equivalentSeconds,
    unplannedEquivalentSeconds:
      plan.cooling.kind === "free"
        ? unplannedAhead(standing, course, held, cooled, cooling, kinetics)
        : standing.unplannedEquivalentSeconds,
    comingEquivalentSeconds: cooled.equivalentSeconds,
    peakCelsius: cooled.peakCelsius,
    peakInSeconds: cooled.peakInSeconds,
  };
}

/**
 * Heat work of the free cooling, past and coming: from the corner on, which lies where the fall carried back
 * meets the level before it, so earlier for a hold that is left hotter than usual.
 */
function unplannedAhead(
  standing: Standing,
  course: Course,
  held: Walk,
  cooled: Walk,
  cooling: Stretch,
  kinetics: Kinetics,
): number {
  if (standing.unplannedEquivalentSeconds > 0)
    return standing.unplannedEquivalentSeconds + cooled.equivalentSeconds;
  const last = course.legs.at(-1)?.leg.toCelsius ?? 0;
  if (standing.kind === "cooling") {
    const usual: Walk = { ...NOT_WALKED, celsius: last + course.cooling(course.cornerSeconds) };
    return walked(usual, coolingStretchFrom(course.cornerSeconds, course, last), kinetics).equivalentSeconds;
  }
  const hotter = held.celsius - (last + course.cooling(0));
  const cornerSeconds = Math.max(0, course.cornerSeconds - hotter / fallKelvinPerSecond(course));
  const toCorner = walked(held, { ...cooling, toSeconds: () => cornerSeconds }, kinetics);
  return cooled.equivalentSeconds - toCorner.equivalentSeconds;
}

/** How fast a course cools once it falls, K/s. */
function fallKelvinPerSecond({ cooling, cornerSeconds }: Course): number {
  return Math.max(0.1, (cooling(cornerSeconds + 10) - cooling(cornerSeconds + 40)) / 30);
}

function coolingStretchFrom(fromSeconds: number, { cooling }: Course, lastCelsius: number): Stretch {
  return {
    fromSeconds,
    toSeconds: () => COOLING_SECONDS,
    celsiusAt: (seconds) => lastCelsius + cooling(seconds),
  };
}

/** Where a walk along a course has come to, from now on. */
interface Walk {
  readonly celsius: number;
  readonly seconds: number;
  readonly equivalentSeconds: number;
  readonly peakCelsius: number;
  readonly peakInSeconds: number;
}

const NOT_WALKED = {
  seconds: 0,
  equivalentSeconds: 0,
  peakCelsius: Number.NEGATIVE_INFINITY,
  peakInSeconds: 0,
};

/** One stretch of a course, entered at the temperature that the walk has come to. */
interface Stretch {
  readonly fromSeconds: number;
  readonly toSeconds: (enteredAtCelsius: number) => number;
  readonly celsiusAt: (seconds: number, enteredAtCelsius: number) => number;
}

function stretchesToCooling(
  plan: Plan,
  standing: Standing,
  course: Course,
  holdSeconds: number | null,
): Stretch[] {
  if (standing.kind === "cooling") return [];
  const topIndex = topLegIndex(plan);
  return course.legs.slice(standing.leg).flatMap((courseLeg, offset) => {
    const index = standing.leg + offset;
    const counted = index === topIndex && holdSeconds !== null ? holdSeconds : courseLeg.leg.holdSeconds;
    const here = offset === 0 ? standing : null;
    if (here?.kind === "hold") return [holdStretch(courseLeg, counted, here)];
    return [climbStretch(courseLeg.leg, here), holdStretch(courseLeg, counted, null)];
  });
}

/** Straight up to the passage, at the rate of now; a climb that stands still is taken to go on as planned. */
function climbStretch(leg: Leg, here: Standing | null): Stretch {
  const planned = leg.kelvinPerMinute / 60;
  const measured = here?.kelvinPerSecond ?? planned;
  const rate = measured > STANDSTILL_FRACTION * planned ? measured : planned;
  return {
    fromSeconds: 0,
    toSeconds: (entered) => Math.max(0, (passageCelsius(leg) - entered) / rate),
    celsiusAt: (seconds, entered) => entered + rate * seconds,
  };
}

/** From the passage to the end of a hold; what is apart from the remembered shape dies away. */
function holdStretch(courseLeg: CourseLeg, countedSeconds: number, here: Standing | null): Stretch {
  const { leg, deviation } = courseLeg;
  const fromSeconds = here?.sinceSeconds ?? 0;
  const celsiusAt = shaped(fromSeconds, (seconds) => leg.toCelsius + deviation(seconds), DEVIATION_SECONDS);
  return {
    fromSeconds,
    celsiusAt,
    toSeconds: (entered) => {
      const begun = countedFromSeconds(courseLeg, here, (seconds) => celsiusAt(seconds, entered));
      return Math.max(fromSeconds, begun + countedSeconds);
    },
  };
}

/** When the furnace begins to count its hold, s after the passage. */
function countedFromSeconds(
  { leg, counts, aroundSeconds }: CourseLeg,
  here: Standing | null,
  celsiusAt: (seconds: number) => number,
): number {
  if (counts.from === "schedule" && here) {
    const due = leg.holdStartSeconds - leg.climbStartSeconds + counts.lateSeconds;
    return due - here.climbingSeconds + here.sinceSeconds;
  }
  if (counts.from !== "arrival") return aroundSeconds;
  const arrived = here?.deviationsKelvin.findIndex((kelvin) => kelvin >= counts.kelvin) ?? -1;
  if (arrived >= 0) return arrived * MEMORY_STEP_SECONDS;
  for (let at = here?.sinceSeconds ?? 0; at < LONGEST_WAIT_SECONDS; at += MEMORY_STEP_SECONDS)
    if (celsiusAt(at) >= leg.toCelsius + counts.kelvin) return at;
  return aroundSeconds;
}

/**
 * A cooling after a hold runs along its remembered fall, and what is apart dies away. One that is under way is
 * taken up where the fall is as cold as the bake.
 */
function coolingStretch(plan: Plan, standing: Standing, { legs: courseLegs, cooling }: Course): Stretch {
  const lastCelsius = courseLegs.at(-1)?.leg.toCelsius ?? 0;
  const shape = (seconds: number) => lastCelsius + cooling(seconds);
  const isUnderWay = standing.kind === "cooling";
  const fromSeconds = isUnderWay ? momentAtOrBelow(shape, standing.celsius) : 0;
  const deviationSeconds = plan.cooling.kind === "steady" ? LED_DEVIATION_SECONDS : FREE_DEVIATION_SECONDS;
  return {
    fromSeconds,
    toSeconds: () => fromSeconds + COOLING_SECONDS,
    celsiusAt: shaped(fromSeconds, shape, deviationSeconds),
  };
}

/** The first moment at which a fall is as cold as this, in whole seconds. */
function momentAtOrBelow(shape: (seconds: number) => number, celsius: number): number {
  let seconds = 0;
  while (seconds < COOLING_SECONDS && shape(seconds) > celsius) seconds += 1;
  return seconds;
}

/** A shape that is entered at another temperature: what is apart dies away. */
function shaped(
  fromSeconds: number,
  shape: (seconds: number) => number,
  deviationSeconds: number,
): Stretch["celsiusAt"] {
  return (seconds, entered) =>
    shape(seconds) + (entered - shape(fromSeconds)) * Math.exp(-(seconds - fromSeconds) / deviationSeconds);
}

function walked(walk: Walk, { fromSeconds, toSeconds, celsiusAt }: Stretch, kinetics: Kinetics): Walk {
  const entered = walk.celsius;
  const end = toSeconds(entered);
  const steps = Math.ceil((end - fromSeconds) / MEMORY_STEP_SECONDS);
  if (steps <= 0) return walk;
  const stepSeconds = (end - fromSeconds) / steps;
  let { equivalentSeconds, peakCelsius, peakInSeconds } = walk;
  for (let step = 0; step < steps; step += 1) {
    const at = (step + 0.5) * stepSeconds;
    const celsius = celsiusAt(fromSeconds + at, entered);
    equivalentSeconds += heatWorkRate(celsius, kinetics) * stepSeconds;
    if (celsius > peakCelsius) {
      peakCelsius = celsius;
      peakInSeconds = walk.seconds + at;
    }
  }
  const seconds = walk.seconds + end - fromSeconds;
  return { celsius: celsiusAt(end, entered), seconds, equivalentSeconds, peakCelsius, peakInSeconds };
}

function topLegIndex(plan: Plan): number {
  const top = topCelsius(plan);
  return legs(plan).findLastIndex((leg) => leg.toCelsius === top);
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

/** Sum of squares about the mean, as if every value counted as much as its weight says. */
function weightedScatter(values: readonly number[], weights: readonly number[]): number {
  const whole = weights.reduce((sum, weight) => sum + weight, 0);
  const share = (index: number) => ((weights[index] ?? 0) * values.length) / whole;
  const middle = mean(values.map((value, index) => value * share(index)));
  return values.reduce((sum, value, index) => sum + share(index) * (value - middle) ** 2, 0);
}

/** The value with as much weight below as above it, straight between two neighbours. */
function weightedMedian(values: readonly number[], weights: readonly number[]): number {
  const sorted = values
    .map((value, index) => ({ value, weight: weights[index] ?? 0 }))
    .sort((a, b) => a.value - b.value);
  const half = sorted.reduce((sum, { weight }) => sum + weight, 0) / 2;
  let below = 0;
  let before: { value: number; middle: number } | null = null;
  for (const { value, weight } of sorted) {
    const middle = below + weight / 2;
    if (middle >= half) {
      if (!before) return value;
      return before.value + ((half - before.middle) / (middle - before.middle)) * (value - before.value);
    }
    before = { value, middle };
    below += weight;
  }
  return before?.value ?? Number.NaN;
}

function scatter(values: readonly number[]): number {
  const middle = mean(values);
  return values.reduce((sum, value) => sum + (value - middle) ** 2, 0);
}

function mean(values: readonly number[]): number {
  return values.length > 0 ? values.reduce((sum, value) => sum + value, 0) / values.length : 0;
}
