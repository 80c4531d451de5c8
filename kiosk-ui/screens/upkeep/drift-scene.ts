import type { Check } from "#shared/check";

/** One check on the drift plot: the worst difference of the uncorrected reading. */
export interface DriftDot {
  readonly atEpochMilliseconds: number;
  readonly differenceKelvin: number;
  readonly expandedKelvin: number;
  readonly isAccepted: boolean;
  readonly isOutside: boolean;
}

/** What was taken off readings for a time, because a check was accepted, K. */
export interface DriftLevel {
  readonly fromEpochMilliseconds: number;
  readonly toEpochMilliseconds: number;
  readonly differenceKelvin: number;
}

/** How far a probe was off, check by check, with everything that the picture needs. */
export interface DriftScene {
  readonly dots: readonly DriftDot[];
  readonly levels: readonly DriftLevel[];
  /** Of the newest check, ± K. */
  readonly limitKelvin: number;
  readonly fromEpochMilliseconds: number;
  readonly toEpochMilliseconds: number;
  readonly lowKelvin: number;
  readonly highKelvin: number;
}

const DAY_MILLISECONDS = 86_400_000;
/** A plot shows at least so much time before now, ms. */
const LEAST_MILLISECONDS = 30 * DAY_MILLISECONDS;

/**
 * The drift of a probe from its checks: differences of the uncorrected reading over time.
 * @param checks              in any order
 * @param nowEpochMilliseconds the right edge
 * @param isCorrected         whether the last accepted check corrects the probe still
 * @returns null without a check
 */
export function driftScene(
  checks: readonly Check[],
  nowEpochMilliseconds: number,
  isCorrected: boolean,
): DriftScene | null {
  const inOrder = [...checks].sort((a, b) => a.checkedAtEpochMilliseconds - b.checkedAtEpochMilliseconds);
  const first = inOrder[0];
  const newest = inOrder.at(-1);
  if (!first || !newest) return null;
  const dots = inOrder.map(dotOf);
  const { limitKelvin } = newest.result;
  const lows = dots.map(({ differenceKelvin, expandedKelvin }) => differenceKelvin - expandedKelvin);
  const highs = dots.map(({ differenceKelvin, expandedKelvin }) => differenceKelvin + expandedKelvin);
  const lowKelvin = Math.min(-limitKelvin, ...lows);
  const highKelvin = Math.max(limitKelvin, ...highs);
  const airKelvin = 0.08 * (highKelvin - lowKelvin);
  const toEpochMilliseconds = Math.max(nowEpochMilliseconds, newest.checkedAtEpochMilliseconds);
  return {
    dots,
    levels: levelsOf(inOrder, toEpochMilliseconds, isCorrected),
    limitKelvin,
    fromEpochMilliseconds: Math.min(
      first.checkedAtEpochMilliseconds,
      toEpochMilliseconds - LEAST_MILLISECONDS,
    ),
    toEpochMilliseconds,
    lowKelvin: lowKelvin - airKelvin,
    highKelvin: highKelvin + airKelvin,
  };
}

function dotOf({ checkedAtEpochMilliseconds, result, accepted }: Check): DriftDot {
  return {
    atEpochMilliseconds: checkedAtEpochMilliseconds,
    differenceKelvin: result.worstDifferenceKelvin,
    expandedKelvin: result.expandedUncertaintyKelvin,
    isAccepted: accepted !== null,
    isOutside: result.verdict === "outside",
  };
}

function levelsOf(
  inOrder: readonly Check[],
  endEpochMilliseconds: number,
  isCorrected: boolean,
): DriftLevel[] {
  const accepted = inOrder
    .flatMap(({ accepted, result }) =>
      accepted
        ? [{ from: accepted.atEpochMilliseconds, differenceKelvin: result.worstDifferenceKelvin }]
        : [],
    )
    .sort((a, b) => a.from - b.from);
  return accepted.flatMap(({ from, differenceKelvin }, index) => {
    const next = accepted[index + 1];
    if (!next && !isCorrected) return [];
    return [
      {
        fromEpochMilliseconds: from,
        toEpochMilliseconds: next?.from ?? endEpochMilliseconds,
        differenceKelvin,
      },
    ];
  });
}

/** Round values of a scale, a few of them: steps of 1, 2 or 5 and their tens. */
export function roundMarks(low: number, high: number, most: number): number[] {
  const rough = (high - low) / Math.max(1, most);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5, 10].find((factor) => factor * power >= rough) ?? 10) * power;
  const marks: number[] = [];
  for (let index = Math.ceil(low / step); index * step <= high; index++) marks.push(index * step);
  return marks;
}
