import type { Course, CourseLeg } from "#core/compare/outlook-courses";
import type { Standing } from "#core/compare/outlook-standing";
import { MEMORY_STEP_SECONDS, passageCelsius } from "#core/compare/remembered-bake";
import { heatWorkRate, type Kinetics } from "#core/heat/heat-work";
import { type Leg, type Plan, topLegIndex } from "#core/plan/plan";

/** What is left of a deviation that earlier bakes did not have falls off with this time, s (our choice). */
const DEVIATION_SECONDS = 90;

/** The same where the furnace leads the chamber down. */
const LED_DEVIATION_SECONDS = 15;

/** The same in a free cooling. */
const FREE_DEVIATION_SECONDS = 30;

/** A furnace waits no longer than this for its temperature, as far as anybody looks ahead, s. */
const LONGEST_WAIT_SECONDS = 300;

/** A climb at less than this share of its planned rate is no guide for its rest. */
export const STANDSTILL_FRACTION = 0.2;

/** A cooling is followed for so long, s: by then it does no heat work any more. */
const COOLING_SECONDS = 420;

/** A course to its end. */
export interface Ending {
  readonly totalEquivalentSeconds: number;
  readonly unplannedEquivalentSeconds: number;
  readonly comingEquivalentSeconds: number;
  readonly peakCelsius: number;
  readonly peakInSeconds: number;
}

/**
 * Follows a course from where the bake stands to where it has cooled.
 * @param holdSeconds  the top hold as the furnace counts it; null for the planned one
 */
export function endingOf(
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

/** Straight up to the passage at the rate of now, once that tells anything: a climb begins softly. */
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
