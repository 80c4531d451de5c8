import type { Comparison, HoldComparison } from "#core/compare/comparison";
import { clipped } from "#core/compare/hold";
import {
  curveEquivalentSeconds,
  heatWorkEquivalentSeconds,
  heatWorkRate,
  type Kinetics,
} from "#core/heat/heat-work";
import type { Gap, Trace } from "#core/trace/trace";

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
  | "vacuum-leaked"
  | "vacuum-not-measured"
  | "gap"
  | "wild-readings"
  | "start-missed"
  | "several-bakes"
  | "heat-work-low"
  | "heat-work-high"
  | "not-finished"
  | "as-planned";

/** What the findings need beyond the comparison itself. */
export interface FindingGrounds {
  /** The trace without spikes. */
  readonly trace: Trace;
  readonly usualStepSeconds: number;
  /** Readings that jumped away and back, and were left out. */
  readonly wildReadings: number;
  /** Other bakes in the same trace. */
  readonly otherBakes: number;
  /** False when the trace begins in the first climb. */
  readonly isStartSeen: boolean;
  /** Longest stall of each climb, s; 0 for none. */
  readonly stalledSeconds: readonly number[];
  readonly isFinished: boolean;
  /** Planned heat work of each leg, equivalent seconds. */
  readonly plannedHeatWork: readonly { readonly climb: number; readonly hold: number }[];
}

/** What a finding says of the record, not of the bake: with these alone it still went as planned. */
const ABOUT_THE_RECORD: readonly FindingCode[] = ["start-missed", "vacuum-not-measured"];

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
  vacuumLeakHectopascals: 30,
  coolingFraction: 0.15,
  /** A running climb's rate is known once this share of its rise is done. */
  knownRiseFraction: 0.6,
  /** Where a hold ended is known once the chamber is this far below it, K. */
  knownFallKelvin: 50,
  /** A finding that moved the heat work by less than this is worth knowing, but calls nobody. */
  attentionFraction: 0.05,
  /** The whole heat work calls somebody only outside of this: the window that the kiosk shows. */
  heatWorkFraction: 0.1,
} as const;

/**
 * What differed from the plan, in the order of what it did to the heat work; at equal effect what needs a
 * person comes first. While the bake runs, only what is settled is named.
 * @returns `as-planned` alone when a finished bake has nothing to tell; an empty list while it runs
 */
export function findings(beside: Beside, grounds: FindingGrounds): Finding[] {
  const total = beside.heatWork.plannedEquivalentSeconds;
  const bake: Case = {
    beside,
    grounds,
    how: beside.heatWork,
    share: (equivalentSeconds) => (total > 0 ? equivalentSeconds / total : 0),
  };
  const found = [
    ...recordFindings(bake),
    ...dryingFindings(bake),
    ...beside.climbs.flatMap((_, index) => climbFindings(bake, index)),
    ...beside.holds.flatMap((_, index) => holdFindings(bake, index)),
    ...vacuumFindings(bake),
    ...coolingFindings(bake),
    ...gapFindings(bake),
    ...unfinishedFindings(beside, grounds),
  ];
  return [...found, ...wholeFindings(bake, found)].sort(
    (a, b) =>
      Math.abs(b.heatWorkEffectFraction) - Math.abs(a.heatWorkEffectFraction) ||
      Number(b.needsPerson) - Number(a.needsPerson) ||
      Number(b.code === "as-planned") - Number(a.code === "as-planned"),
  );
}

/** What is said of the whole when its parts say little: the heat work itself, or that all went as planned. */
function wholeFindings({ beside, grounds }: Case, found: readonly Finding[]): Finding[] {
  if (!grounds.isFinished || found.some(({ needsPerson }) => needsPerson)) return [];
  const ratio = beside.heatWork.ratio ?? 1;
  if (Math.abs(ratio - 1) >= LIMITS.attentionFraction)
    return [
      finding(
        ratio < 1 ? "heat-work-low" : "heat-work-high",
        { planned: 1, actual: ratio },
        ratio - 1,
        Math.abs(ratio - 1) >= LIMITS.heatWorkFraction,
      ),
    ];
  const isOfTheBake = found.some(({ code }) => !ABOUT_THE_RECORD.includes(code));
  return isOfTheBake ? [] : [finding("as-planned", {}, 0)];
}

function recordFindings({ beside, grounds }: Case): Finding[] {
  const { isStartSeen, wildReadings, otherBakes } = grounds;
  const found: Finding[] = [];
  if (!isStartSeen) found.push(finding("start-missed", {}, 0, false));
  if (wildReadings > 0) found.push(finding("wild-readings", { actual: wildReadings }, 0, true));
  if (otherBakes > 0) found.push(finding("several-bakes", { actual: otherBakes + 1 }, 0, true));
  if (grounds.isFinished && beside.vacuum.planned && !beside.vacuum.isMeasured)
    found.push(finding("vacuum-not-measured", {}, 0, false));
  return found;
}

function finding(
  code: FindingCode,
  numbers: { index?: number; planned?: number; actual?: number },
  heatWorkEffectFraction: number,
  needsPerson = Math.abs(heatWorkEffectFraction) >= LIMITS.attentionFraction,
): Finding {
  return { code, ...numbers, heatWorkEffectFraction, needsPerson };
}

/** Whether the rate and the start of a climb will not change any more by much. */
function isClimbKnown({ beside, grounds }: Case, index: number): boolean {
  const climb = beside.climbs[index];
  const latest = grounds.trace.at(-1);
  if (!climb?.actual || !latest) return false;
  const knownCelsius = climb.fromCelsius + LIMITS.knownRiseFraction * (climb.toCelsius - climb.fromCelsius);
  return grounds.isFinished || climb.actual.isComplete || latest.celsius >= knownCelsius;
}

/** Whether the end of a hold will not change any more: the next climb, or the cooling, is well under way. */
function isHoldEndKnown(bake: Case, hold: HoldComparison, kept: Kept): boolean {
  const { beside, grounds } = bake;
  if (grounds.isFinished) return kept.isComplete;
  if (!kept.isComplete) return false;
  if (hold.index < beside.holds.length) return isClimbKnown(bake, hold.index);
  const latest = grounds.trace.at(-1);
  return latest !== undefined && latest.celsius <= hold.celsius - LIMITS.knownFallKelvin;
}

function dryingFindings(bake: Case): Finding[] {
  const { beside } = bake;
  if (!isClimbKnown(bake, 0)) return [];
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
  const isKnown = isClimbKnown({ beside, grounds, how, share }, index);
  const stalled = grounds.stalledSeconds[index] ?? 0;
  const toSeconds = actual.startSeconds + actual.lengthSeconds;
  const delivered = deliveredBetween({ beside, grounds, how }, actual.startSeconds, toSeconds);
  const effect = actual.isComplete ? share(delivered - (grounds.plannedHeatWork[index]?.climb ?? 0)) : 0;
  const found: Finding[] = [];
  if (stalled > 0) found.push(finding("climb-stalled", { index: number, actual: stalled }, effect, true));
  const rate = actual.kelvinPerMinute;
  const planned = climb.planned.kelvinPerMinute;
  if (isKnown && rate !== null && stalled === 0 && Math.abs(rate / planned - 1) > LIMITS.climbFraction)
    found.push(
      finding(rate < planned ? "climb-slow" : "climb-fast", { index: number, planned, actual: rate }, effect),
    );
  return found;
}

function holdFindings(bake: Case, index: number): Finding[] {
  const hold = bake.beside.holds[index];
  if (!hold) return [];
  if (!hold.actual) return bake.grounds.isFinished ? [topNeverSeen(bake, hold)] : [];
  const isOver = bake.grounds.isFinished || isHoldEndKnown(bake, hold, hold.actual);
  const reach = hold.isReached || !isOver ? [] : [topNotReached(bake, hold, hold.actual)];
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

function holdLengthFindings(bake: Case, hold: HoldComparison, kept: Kept): Finding[] {
  const { grounds, how, share } = bake;
  const planned = hold.planned.lengthSeconds;
  const moreSeconds = kept.lengthSeconds - planned;
  const slackSeconds = Math.max(LIMITS.holdSeconds, LIMITS.holdFraction * planned, grounds.usualStepSeconds);
  if (!isHoldEndKnown(bake, hold, kept) || Math.abs(moreSeconds) <= slackSeconds) return [];
  const numbers = { index: hold.index, planned, actual: kept.lengthSeconds };
  const effect = share(moreSeconds * heatWorkRate(hold.celsius, how));
  return [finding(moreSeconds < 0 ? "hold-short" : "hold-long", numbers, effect)];
}

function excursionFindings(bake: Case, hold: HoldComparison, kept: Kept): Finding[] {
  const { beside, grounds, share } = bake;
  const { index, celsius, overshootKelvin, undershootKelvin, isReached } = hold;
  const toSeconds = kept.startSeconds + kept.lengthSeconds;
  const effect = (sign: 1 | -1) => share(workBeyond(bake, kept.startSeconds, toSeconds, celsius, sign));
  const found: Finding[] = [];
  const isLast = index === beside.holds.length;
  const isOver = grounds.isFinished || isHoldEndKnown(bake, hold, kept);
  if (overshootKelvin > LIMITS.excursionKelvin && (isOver || isLast))
    found.push(finding("overshoot", { index, planned: celsius, actual: overshootKelvin }, effect(1)));
  if (isOver && isReached && undershootKelvin > LIMITS.excursionKelvin)
    found.push(finding("undershoot", { index, planned: celsius, actual: undershootKelvin }, effect(-1)));
  return found;
}

function holdLevelFindings(bake: Case, hold: HoldComparison, kept: Kept): Finding[] {
  const { index, celsius } = hold;
  const mean = kept.meanCelsius;
  if (mean === null || !isHoldEndKnown(bake, hold, kept) || Math.abs(mean - celsius) <= LIMITS.holdMeanKelvin)
    return [];
  const numbers = { index, planned: celsius, actual: mean };
  return [finding(mean < celsius ? "hold-low" : "hold-high", numbers, levelEffect(bake, hold, kept))];
}

/** What a hold's level, not its length, did to the heat work. */
function levelEffect(bake: Case, { celsius }: HoldComparison, kept: Kept): number {
  const delivered = deliveredBetween(bake, kept.startSeconds, kept.startSeconds + kept.lengthSeconds);
  return bake.share(delivered - kept.lengthSeconds * heatWorkRate(celsius, bake.how));
}

/** Heat work above (or below) what the hold's temperature would have given, only where it was above (below). */
function workBeyond(
  { beside, grounds, how }: Pick<Case, "beside" | "grounds" | "how">,
  fromSeconds: number,
  toSeconds: number,
  celsius: number,
  sign: 1 | -1,
): number {
  const bounded = clipped(grounds.trace, fromSeconds, toSeconds).map((point) => ({
    ...point,
    celsius: sign > 0 ? Math.max(point.celsius, celsius) : Math.min(point.celsius, celsius),
  }));
  const level = bounded.map((point) => ({ ...point, celsius }));
  const worked = (trace: Trace) => heatWorkEquivalentSeconds(trace, how, beside.gaps);
  return worked(bounded) - worked(level);
}

function deliveredBetween(
  { beside, grounds, how }: Pick<Case, "beside" | "grounds" | "how">,
  fromSeconds: number,
  toSeconds: number,
): number {
  return heatWorkEquivalentSeconds(clipped(grounds.trace, fromSeconds, toSeconds), how, beside.gaps);
}

function vacuumFindings({ beside, grounds }: Case): Finding[] {
  const { planned, actual, isMeasured } = beside.vacuum;
  if (!planned || !isMeasured) return [];
  if (!actual) {
    const peak = beside.peakCelsius ?? 0;
    const isDue = grounds.isFinished || peak > planned.onAtCelsius + 2 * LIMITS.vacuumOnKelvin;
    return isDue ? [finding("vacuum-absent", { planned: planned.levelHectopascals }, 0, true)] : [];
  }
  const found: Finding[] = [];
  if (actual.isStartSeen && actual.onAtCelsius > planned.onAtCelsius + LIMITS.vacuumOnKelvin)
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
  const atRelease = actual.hectopascalsAtRelease;
  if (atRelease !== null && atRelease > actual.levelHectopascals + LIMITS.vacuumLeakHectopascals)
    found.push(finding("vacuum-leaked", { planned: actual.levelHectopascals, actual: atRelease }, 0, true));
  return [...found, ...releaseFindings(beside, grounds)];
}

function releaseFindings({ vacuum }: Beside, { isFinished }: FindingGrounds): Finding[] {
  const { planned, actual } = vacuum;
  if (!planned || !actual) return [];
  const { releaseCelsius, releaseDueSeconds } = planned;
  if (actual.releaseAtSeconds === null || actual.releaseCelsius === null)
    return isFinished ? [finding("vacuum-released-late", { planned: releaseCelsius }, 0, true)] : [];
  const numbers = { planned: releaseCelsius, actual: actual.releaseCelsius };
  const isFarBelow = actual.releaseCelsius < releaseCelsius - LIMITS.vacuumReleaseKelvin;
  if (releaseDueSeconds === null)
    return isFinished || isFarBelow ? [finding("vacuum-released-early", numbers, 0, true)] : [];
  const lateSeconds = actual.releaseAtSeconds - releaseDueSeconds;
  if (lateSeconds < -LIMITS.vacuumReleaseSeconds) return [finding("vacuum-released-early", numbers, 0, true)];
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
      share(heatWorkEquivalentSeconds(led, how, beside.gaps) - plannedWork),
    ),
  ];
}

function legTop(beside: Beside): number {
  return beside.holds.at(-1)?.celsius ?? 0;
}

/** Gaps hold no heat work; their effect is what straight lines across them would have held. */
function gapFindings({ beside: { gaps }, grounds: { trace }, how, share }: Case): Finding[] {
  if (gaps.length === 0) return [];
  const silentSeconds = gaps.reduce((sum, gap) => sum + gap.toSeconds - gap.fromSeconds, 0);
  return [finding("gap", { actual: silentSeconds }, 0 - share(missedEquivalentSeconds(trace, gaps, how)))];
}

/** What straight lines across the gaps of a trace would have held, equivalent seconds. */
export function missedEquivalentSeconds(trace: Trace, gaps: readonly Gap[], how: Kinetics): number {
  const missed = gaps.map(({ fromSeconds, toSeconds }) =>
    curveEquivalentSeconds(
      trace.filter(({ atSeconds }) => atSeconds === fromSeconds || atSeconds === toSeconds),
      how,
    ),
  );
  return missed.reduce((sum, part) => sum + part, 0);
}

function unfinishedFindings(beside: Beside, grounds: FindingGrounds): Finding[] {
  if (!grounds.isFinished || beside.cooling.actual) return [];
  return [finding("not-finished", {}, 0, true)];
}
