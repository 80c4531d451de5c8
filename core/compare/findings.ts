import type { Comparison, HoldComparison } from "#core/compare/comparison";
import { clipped } from "#core/compare/hold";
import {
  curveEquivalentSeconds,
  heatWorkEquivalentSeconds,
  heatWorkRate,
  type Kinetics,
} from "#core/heat/heat-work";
import type { Plan } from "#core/plan/plan";
import type { Trace } from "#core/trace/trace";

/** One thing that differed from the plan; the unit of `planned` and `actual` follows from the code. */
export interface Finding {
  readonly code: FindingCode;
  /** Which climb or hold, counted from 1. */
  readonly index?: number | undefined;
  readonly planned?: number | undefined;
  readonly actual?: number | undefined;
  /** What it did to the heat work, as a signed share of the planned heat work. */
  readonly heatWorkEffectFraction: number;
  /** True when somebody should look; false when it is only worth knowing. */
  readonly needsPerson: boolean;
}

export type FindingCode =
  | "top-not-reached"
  | "climb-slow"
  | "climb-fast"
  | "climb-stalled"
  | "hold-short"
  | "hold-long"
  | "hold-low"
  | "hold-high"
  | "overshoot"
  | "undershoot"
  | "drying-short"
  | "drying-long"
  | "vacuum-absent"
  | "vacuum-late"
  | "vacuum-weak"
  | "vacuum-released-early"
  | "vacuum-released-late"
  | "cooling-fast"
  | "cooling-slow"
  | "gap"
  | "not-finished"
  | "as-planned";

/** What the findings need beyond the comparison itself. */
export interface FindingGrounds {
  /** The trace without spikes. */
  readonly trace: Trace;
  /** Longest stall of each climb, s; 0 for none. */
  readonly stalledSeconds: readonly number[];
  readonly isFinished: boolean;
  /** Planned heat work of each leg, equivalent seconds. */
  readonly plannedHeatWork: readonly { readonly climb: number; readonly hold: number }[];
}

/** One bake as its findings look at it. */
interface Case {
  readonly beside: Beside;
  readonly grounds: FindingGrounds;
  readonly how: Kinetics;
  /** Heat work as a share of the planned. */
  readonly share: (equivalentSeconds: number) => number;
}

type Beside = Omit<Comparison, "findings">;

/** Limits of what is worth a line: our own choice, wide enough that a good bake says nothing. */
const LIMITS = {
  climbFraction: 0.05,
  holdSeconds: 5,
  holdFraction: 0.05,
  holdMeanKelvin: 2,
  excursionKelvin: 3,
  dryingSeconds: 30,
  vacuumOnKelvin: 15,
  vacuumLevelFraction: 0.3,
  vacuumLevelHectopascals: 10,
  vacuumReleaseSeconds: 15,
  vacuumReleaseKelvin: 10,
  coolingFraction: 0.15,
  /** A finding that moved the heat work by less than this is worth knowing, but calls nobody. */
  attentionFraction: 0.05,
} as const;

/**
 * What differed from the plan, in the order of what it did to the heat work; at equal effect what needs a
 * person comes first. While the bake runs, only what can no longer mend itself is named.
 * @returns `as-planned` alone when a finished bake has nothing to tell; an empty list while it runs
 */
export function findings(plan: Plan, beside: Beside, grounds: FindingGrounds): Finding[] {
  const total = beside.heatWork.plannedEquivalentSeconds;
  const bake: Case = {
    beside,
    grounds,
    how: beside.heatWork,
    share: (equivalentSeconds) => (total > 0 ? equivalentSeconds / total : 0),
  };
  const found = [
    ...dryingFindings(beside),
    ...beside.climbs.flatMap((_, index) => climbFindings(bake, index)),
    ...beside.holds.flatMap((_, index) => holdFindings(bake, index)),
    ...vacuumFindings(plan, beside, grounds),
    ...coolingFindings(bake),
    ...gapFindings(bake),
    ...unfinishedFindings(beside, grounds),
  ];
  if (found.length === 0 && grounds.isFinished)
    return [{ code: "as-planned", heatWorkEffectFraction: 0, needsPerson: false }];
  return found.sort(
    (a, b) =>
      Math.abs(b.heatWorkEffectFraction) - Math.abs(a.heatWorkEffectFraction) ||
      Number(b.needsPerson) - Number(a.needsPerson),
  );
}

function finding(
  code: FindingCode,
  numbers: { index?: number; planned?: number; actual?: number },
  heatWorkEffectFraction: number,
  needsPerson = Math.abs(heatWorkEffectFraction) >= LIMITS.attentionFraction,
): Finding {
  return { code, ...numbers, heatWorkEffectFraction, needsPerson };
}

function dryingFindings(beside: Beside): Finding[] {
  const planned = beside.drying.planned.lengthSeconds;
  const actual = beside.drying.actual?.lengthSeconds;
  if (actual === undefined || Math.abs(actual - planned) <= LIMITS.dryingSeconds) return [];
  return [
    finding(actual < planned ? "drying-short" : "drying-long", { planned, actual }, 0, actual < planned),
  ];
}

function climbFindings({ beside, grounds, how, share }: Case, index: number): Finding[] {
  const climb = beside.climbs[index];
  const actual = climb?.actual;
  if (!climb || !actual) return [];
  const number = index + 1;
  const stalled = grounds.stalledSeconds[index] ?? 0;
  const toSeconds = actual.startSeconds + actual.lengthSeconds;
  const delivered = heatWorkEquivalentSeconds(clipped(grounds.trace, actual.startSeconds, toSeconds), how);
  const effect = actual.isComplete ? share(delivered - (grounds.plannedHeatWork[index]?.climb ?? 0)) : 0;
  const found: Finding[] = [];
  if (stalled > 0) found.push(finding("climb-stalled", { index: number, actual: stalled }, effect, true));
  const rate = actual.kelvinPerMinute;
  const planned = climb.planned.kelvinPerMinute;
  if (rate !== null && stalled === 0 && Math.abs(rate / planned - 1) > LIMITS.climbFraction)
    found.push(
      finding(rate < planned ? "climb-slow" : "climb-fast", { index: number, planned, actual: rate }, effect),
    );
  return found;
}

function holdFindings(bake: Case, index: number): Finding[] {
  const hold = bake.beside.holds[index];
  if (!hold) return [];
  if (!hold.actual) return bake.grounds.isFinished ? [topNeverSeen(bake, hold)] : [];
  const reach = hold.isReached ? [] : [topNotReached(bake, hold, hold.actual)];
  const excursions = excursionFindings(bake, hold, hold.actual);
  const isLevelSaid = reach.length + excursions.length > 0;
  const level = isLevelSaid ? [] : holdLevelFindings(bake, hold, hold.actual);
  return [...reach, ...holdLengthFindings(bake, hold, hold.actual), ...excursions, ...level];
}

type Kept = NonNullable<HoldComparison["actual"]>;

/** The bake ended before its last climb did. */
function topNeverSeen({ beside, grounds, share }: Case, { index, celsius }: HoldComparison): Finding {
  const missing = -(grounds.plannedHeatWork[index - 1]?.hold ?? 0);
  const peak = beside.peakCelsius === null ? {} : { actual: beside.peakCelsius };
  return finding("top-not-reached", { index, planned: celsius, ...peak }, share(missing), true);
}

function topNotReached(bake: Case, hold: HoldComparison, kept: Kept): Finding {
  const { index, celsius, undershootKelvin } = hold;
  const numbers = { index, planned: celsius, actual: celsius - undershootKelvin };
  return finding("top-not-reached", numbers, levelEffect(bake, hold, kept), true);
}

function holdLengthFindings({ how, share }: Case, hold: HoldComparison, kept: Kept): Finding[] {
  const planned = hold.planned.lengthSeconds;
  const moreSeconds = kept.lengthSeconds - planned;
  const isKnown = kept.isComplete || moreSeconds > 0;
  if (!isKnown || Math.abs(moreSeconds) <= Math.max(LIMITS.holdSeconds, LIMITS.holdFraction * planned))
    return [];
  const numbers = { index: hold.index, planned, actual: kept.lengthSeconds };
  const effect = share(moreSeconds * heatWorkRate(hold.celsius, how));
  return [finding(moreSeconds < 0 ? "hold-short" : "hold-long", numbers, effect)];
}

function excursionFindings({ grounds, how, share }: Case, hold: HoldComparison, kept: Kept): Finding[] {
  const { index, celsius, overshootKelvin, undershootKelvin, isReached } = hold;
  const toSeconds = kept.startSeconds + kept.lengthSeconds;
  const effect = (sign: 1 | -1) =>
    share(workBeyond(grounds.trace, kept.startSeconds, toSeconds, celsius, how, sign));
  const found: Finding[] = [];
  if (overshootKelvin > LIMITS.excursionKelvin)
    found.push(finding("overshoot", { index, planned: celsius, actual: overshootKelvin }, effect(1)));
  if (isReached && undershootKelvin > LIMITS.excursionKelvin)
    found.push(finding("undershoot", { index, planned: celsius, actual: undershootKelvin }, effect(-1)));
  return found;
}

function holdLevelFindings(bake: Case, hold: HoldComparison, kept: Kept): Finding[] {
  const { index, celsius } = hold;
  const mean = kept.meanCelsius;
  if (mean === null || !kept.isComplete || Math.abs(mean - celsius) <= LIMITS.holdMeanKelvin) return [];
  const numbers = { index, planned: celsius, actual: mean };
  return [finding(mean < celsius ? "hold-low" : "hold-high", numbers, levelEffect(bake, hold, kept))];
}

/** What a hold's level, not its length, did to the heat work. */
function levelEffect({ grounds, how, share }: Case, { celsius }: HoldComparison, kept: Kept): number {
  const toSeconds = kept.startSeconds + kept.lengthSeconds;
  const delivered = heatWorkEquivalentSeconds(clipped(grounds.trace, kept.startSeconds, toSeconds), how);
  return share(delivered - kept.lengthSeconds * heatWorkRate(celsius, how));
}

/** Heat work above (or below) what the hold's temperature would have given, only where it was above (below). */
function workBeyond(
  trace: Trace,
  fromSeconds: number,
  toSeconds: number,
  celsius: number,
  how: Kinetics,
  sign: 1 | -1,
): number {
  const bounded = clipped(trace, fromSeconds, toSeconds).map((point) => ({
    ...point,
    celsius: sign > 0 ? Math.max(point.celsius, celsius) : Math.min(point.celsius, celsius),
  }));
  const seconds = (bounded.at(-1)?.atSeconds ?? 0) - (bounded[0]?.atSeconds ?? 0);
  return heatWorkEquivalentSeconds(bounded, how) - seconds * heatWorkRate(celsius, how);
}

function vacuumFindings(plan: Plan, beside: Beside, grounds: FindingGrounds): Finding[] {
  const { planned, actual, isMeasured } = beside.vacuum;
  if (!planned || !plan.vacuum || !isMeasured) return [];
  if (!actual) {
    const peak = beside.peakCelsius ?? 0;
    const isDue = grounds.isFinished || peak > planned.onAtCelsius + 2 * LIMITS.vacuumOnKelvin;
    return isDue ? [finding("vacuum-absent", { planned: planned.levelHectopascals }, 0, true)] : [];
  }
  const found: Finding[] = [];
  if (actual.onAtCelsius > planned.onAtCelsius + LIMITS.vacuumOnKelvin)
    found.push(finding("vacuum-late", { planned: planned.onAtCelsius, actual: actual.onAtCelsius }, 0, true));
  const weakest = Math.max(
    planned.levelHectopascals * (1 + LIMITS.vacuumLevelFraction),
    planned.levelHectopascals + LIMITS.vacuumLevelHectopascals,
  );
  const isPumped = actual.releaseAtSeconds !== null || grounds.isFinished;
  if (isPumped && actual.levelHectopascals > weakest)
    found.push(
      finding(
        "vacuum-weak",
        { planned: planned.levelHectopascals, actual: actual.levelHectopascals },
        0,
        true,
      ),
    );
  return [...found, ...releaseFindings(plan, beside)];
}

function releaseFindings(plan: Plan, beside: Beside): Finding[] {
  const release = plan.vacuum?.release;
  const actual = beside.vacuum.actual;
  const releaseCelsius = beside.vacuum.planned?.releaseCelsius;
  if (!release || releaseCelsius === undefined || !actual || actual.releaseAtSeconds === null) return [];
  const numbers = { planned: releaseCelsius, actual: actual.releaseCelsius ?? 0 };
  if (release.kind === "at-temperature") {
    const isEarly =
      numbers.actual < releaseCelsius - LIMITS.vacuumReleaseKelvin &&
      (beside.peakCelsius ?? 0) >= numbers.actual;
    return isEarly ? [finding("vacuum-released-early", numbers, 0, true)] : [];
  }
  const hold = beside.holds[release.hold - 1]?.actual;
  if (!hold) return [finding("vacuum-released-early", numbers, 0, true)];
  const dueSeconds =
    release.kind === "hold-start" ? hold.startSeconds : hold.startSeconds + hold.lengthSeconds;
  const lateSeconds = actual.releaseAtSeconds - dueSeconds;
  if (lateSeconds < -LIMITS.vacuumReleaseSeconds && (release.kind === "hold-start" || beside.cooling.actual))
    return [finding("vacuum-released-early", numbers, 0, true)];
  return lateSeconds > LIMITS.vacuumReleaseSeconds
    ? [finding("vacuum-released-late", numbers, 0, false)]
    : [];
}

function coolingFindings({ beside, grounds, how, share }: Case): Finding[] {
  const { planned, actual } = beside.cooling;
  const rate = actual?.kelvinPerMinute;
  if (planned.kelvinPerMinute === null || planned.toCelsius === null || !actual || rate == null) return [];
  if (Math.abs(rate / planned.kelvinPerMinute - 1) <= LIMITS.coolingFraction) return [];
  const top = legTop(beside);
  const led = clipped(grounds.trace, actual.startSeconds, actual.startSeconds + actual.lengthSeconds).filter(
    (point) => point.celsius >= (planned.toCelsius ?? 0),
  );
  const plannedWork = curveEquivalentSeconds(
    [
      { atSeconds: 0, celsius: top },
      { atSeconds: ((top - planned.toCelsius) / planned.kelvinPerMinute) * 60, celsius: planned.toCelsius },
    ],
    how,
  );
  return [
    finding(
      rate > planned.kelvinPerMinute ? "cooling-fast" : "cooling-slow",
      { planned: planned.kelvinPerMinute, actual: rate },
      share(heatWorkEquivalentSeconds(led, how) - plannedWork),
    ),
  ];
}

function legTop(beside: Beside): number {
  return beside.holds.at(-1)?.celsius ?? 0;
}

/** Gaps hold no heat work; their effect is what straight lines across them would have held. */
function gapFindings({ beside: { gaps }, grounds: { trace }, how, share }: Case): Finding[] {
  if (gaps.length === 0) return [];
  const byMoment = new Map(trace.map((sample) => [sample.atSeconds, sample]));
  const missing = gaps.map(({ fromSeconds, toSeconds }) => {
    const ends = [byMoment.get(fromSeconds), byMoment.get(toSeconds)].flatMap((end) => (end ? [end] : []));
    return curveEquivalentSeconds(ends, how);
  });
  const silentSeconds = gaps.reduce((sum, gap) => sum + gap.toSeconds - gap.fromSeconds, 0);
  return [finding("gap", { actual: silentSeconds }, 0 - share(missing.reduce((sum, part) => sum + part, 0)))];
}

function unfinishedFindings(beside: Beside, grounds: FindingGrounds): Finding[] {
  if (!grounds.isFinished || beside.cooling.actual) return [];
  return [finding("not-finished", {}, 0, true)];
}
