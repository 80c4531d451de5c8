import type { Standing } from "#core/compare/outlook-standing";
import {
  MEMORY_STEP_SECONDS,
  passageCelsius,
  type RememberedBake,
  type RememberedHold,
} from "#core/compare/remembered-bake";
import { USUAL_FREE_COOLING_KELVIN_PER_MINUTE } from "#core/heat/layer-ledger";
import { type Leg, legs, type Plan, topLegIndex } from "#core/plan/plan";
import { mean } from "#core/statistics/mean";
import { median } from "#core/statistics/median";
import { scatter } from "#core/statistics/scatter";

/** Bakes of this likeness are a guide by themselves, if there are at least two of them. */
const ALIKE = { topKelvin: 20, rateRatio: 1.25, holdRatio: 1.6, holdSeconds: 10 };

/** A course this far from the bake counts six tenths; none is forgotten. */
const LIKENESS_KELVIN = 0.8;
const LEAST_LIKENESS = 0.02;

/** A furnace is taken to wait for a temperature only where that explains its holds so much better. */
const CLEARLY_LESS = 0.5;

/** How near it has to come is known to this, K. */
const ARRIVAL_DOUBT_KELVIN: readonly number[] = [-0.7, 0, 0.7];

/** Where a hold came to rest: its last ten seconds, but never more than its last sixth. */
const REST_STEPS = Math.round(10 / MEMORY_STEP_SECONDS);
const REST_SHARE = 1 / 6;

/** What the rest of the bake would be like if it went as one earlier bake did. */
export interface Course {
  readonly legs: readonly CourseLeg[];
  /** Kelvins above the last hold, so many seconds into the cooling. */
  readonly cooling: (seconds: number) => number;
  /** From when it is told to cool to the corner from which free cooling counts, s. */
  readonly cornerSeconds: number;
}

/** From the passage below a hold to its end. */
export interface CourseLeg {
  readonly leg: Leg;
  /** Kelvins above the planned temperature, so many seconds after the passage. */
  readonly deviation: (seconds: number) => number;
  /** Seconds from the passage to the end, without the counted hold. */
  readonly aroundSeconds: number;
  readonly counts: Counting;
}

/** From when a furnace counts its hold: what repeats best among its earlier bakes. */
export type Counting =
  | { readonly from: "passage" }
  /** Its end so long after what the plan says, counted from the start of its climb. */
  | { readonly from: "schedule"; readonly lateSeconds: number }
  /** It waits until it is this far from the planned temperature, K. */
  | { readonly from: "arrival"; readonly kelvin: number };

/** How much a course counts: by how near the bake has come to it from the passage on. */
export function likeness({ legs: courseLegs }: Course, { leg, deviationsKelvin }: Standing): number {
  const deviation = courseLegs[leg]?.deviation;
  if (!deviation || deviationsKelvin.length === 0) return 1;
  const squares = deviationsKelvin.map(
    (kelvin, step) => (kelvin - deviation((step + 0.5) * MEMORY_STEP_SECONDS)) ** 2,
  );
  return Math.exp(-mean(squares) / (2 * LIKENESS_KELVIN ** 2)) + LEAST_LIKENESS;
}

/** The earlier bakes that are a guide for this plan: those alike if there are two, else all. */
export function guides(plan: Plan, earlier: readonly RememberedBake[]): readonly RememberedBake[] {
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
export function courseOfPlan(plan: Plan, learned: readonly Course[]): Course {
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
    plan.cooling.kind === "steady"
      ? plan.cooling.kelvinPerMinute / 60
      : USUAL_FREE_COOLING_KELVIN_PER_MINUTE / 60;
  return (seconds) => -kelvinPerSecond * seconds;
}

/**
 * The courses after earlier bakes: one for each, or three where the furnace waits for a temperature, since how
 * near it has to come is not known better than that.
 * @param guiding  the bakes whose shapes are taken
 * @param earlier  all that tell how this furnace counts
 */
export function coursesAfter(
  plan: Plan,
  guiding: readonly RememberedBake[],
  earlier: readonly RememberedBake[],
): Course[] {
  const planned = legs(plan);
  const countings = planned.map((_, index) =>
    countingOf(earlier.flatMap((bake) => holdOf(bake, index) ?? [])),
  );
  const isWaiting = countings.some(({ from }) => from === "arrival");
  return guiding.flatMap((bake) =>
    (isWaiting ? ARRIVAL_DOUBT_KELVIN : [0]).map((doubtKelvin) => ({
      legs: planned.map((leg, index) => {
        const hold = holdOf(bake, index);
        const counts = countings[index];
        return hold && counts
          ? rememberedLeg(leg, hold, counted(counts, hold, doubtKelvin))
          : straightLeg(leg);
      }),
      cooling: rememberedCoolingOf(plan, bake),
      cornerSeconds: bake.cooling?.cornerSeconds ?? 0,
    })),
  );
}

function counted(counts: Counting, { lateSeconds }: RememberedHold, doubtKelvin: number): Counting {
  if (counts.from === "arrival") return { from: "arrival", kelvin: counts.kelvin + doubtKelvin };
  return counts.from === "schedule" ? { from: "schedule", lateSeconds } : counts;
}

/**
 * How a furnace counts its holds: from when it has arrived, by its schedule, or, where neither repeats better,
 * so long after the passage.
 */
function countingOf(holds: readonly RememberedHold[]): Counting {
  if (holds.length < 3) return { from: "passage" };
  const kelvin = median(holds.map(deviationWhenCounted));
  const misses = {
    passage: scatter(holds.map((hold) => hold.lengthSeconds - hold.plannedSeconds)),
    schedule: scatter(holds.map(({ lateSeconds }) => lateSeconds)),
    arrival: scatter(holds.map((hold) => afterArrivalSeconds(hold, kelvin))),
  };
  if (misses.arrival < CLEARLY_LESS * Math.min(misses.passage, misses.schedule))
    return { from: "arrival", kelvin };
  return misses.schedule < misses.passage ? { from: "schedule", lateSeconds: 0 } : { from: "passage" };
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
