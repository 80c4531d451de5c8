import type { CurvePoint } from "#core/heat/heat-work";
import type { TimeWindow } from "#core/trace/decimate";

/** Both curves at one moment. */
export interface DifferencePoint {
  readonly atSeconds: number;
  readonly traceCelsius: number;
  readonly referenceCelsius: number;
}

/** A stretch in which the trace stays on one side of the reference: a closed area to fill. */
export interface DifferencePiece {
  readonly side: "above" | "below";
  readonly points: readonly DifferencePoint[];
}

/**
 * The area between a trace and its reference, in pieces that each lie on one side. Both curves are straight
 * between their points; where they cross, the piece ends and the next begins exactly at the crossing.
 *
 *     trace      /\            above: filled warm
 *     reference ----\----      below: filled cool
 *
 * @param trace      rising time
 * @param reference  rising time; nothing is filled where it has nothing to say
 * @param gaps       stretches without measurement, never filled
 * @returns pieces in rising time; none where the curves coincide
 * @example differenceArea([{ atSeconds: 0, celsius: 0 }, { atSeconds: 2, celsius: 2 }], [{ atSeconds: 0, celsius: 1 }, { atSeconds: 2, celsius: 1 }]).map(({ side, points }) => [side, points.length]) // [["below", 2], ["above", 2]]
 */
export function differenceArea(
  trace: readonly CurvePoint[],
  reference: readonly CurvePoint[],
  gaps: readonly TimeWindow[] = [],
): DifferencePiece[] {
  const pieces: { side: "above" | "below"; points: DifferencePoint[] }[] = [];
  for (const [from, to] of straightSpans(trace, reference, gaps)) {
    const difference = differenceKelvin(from) + differenceKelvin(to);
    if (difference === 0) continue;
    const side = difference > 0 ? "above" : "below";
    const last = pieces.at(-1);
    const end = last?.points.at(-1);
    if (!last || last.side !== side || end?.atSeconds !== from.atSeconds)
      pieces.push({ side, points: [from, to] });
    else if (isSamePoint(end, from)) last.points.push(to);
    else last.points.push(from, to);
  }
  return pieces;
}

type Span = readonly [DifferencePoint, DifferencePoint];

/** Spans in which both curves are straight and do not cross. */
function* straightSpans(
  trace: readonly CurvePoint[],
  reference: readonly CurvePoint[],
  gaps: readonly TimeWindow[],
): Generator<Span> {
  let side = 1;
  for (let index = 1; index < trace.length; index++) {
    const from = trace[index - 1];
    const to = trace[index];
    if (!from || !to || isInGap(from, to, gaps)) continue;
    while (side < reference.length && (reference[side]?.atSeconds ?? 0) <= from.atSeconds) side++;
    for (let at = side; at < reference.length; at++) {
      const referenceFrom = reference[at - 1];
      const referenceTo = reference[at];
      if (!referenceFrom || !referenceTo || referenceFrom.atSeconds >= to.atSeconds) break;
      const startSeconds = Math.max(from.atSeconds, referenceFrom.atSeconds);
      const endSeconds = Math.min(to.atSeconds, referenceTo.atSeconds);
      if (endSeconds <= startSeconds) continue;
      const both = (atSeconds: number): DifferencePoint => ({
        atSeconds,
        traceCelsius: celsiusBetween(from, to, atSeconds),
        referenceCelsius: celsiusBetween(referenceFrom, referenceTo, atSeconds),
      });
      yield* splitAtCrossing(both(startSeconds), both(endSeconds));
    }
  }
}

function* splitAtCrossing(from: DifferencePoint, to: DifferencePoint): Generator<Span> {
  const before = differenceKelvin(from);
  const after = differenceKelvin(to);
  if (before * after >= 0) {
    yield [from, to];
    return;
  }
  const share = before / (before - after);
  const celsius = from.referenceCelsius + share * (to.referenceCelsius - from.referenceCelsius);
  const atSeconds = from.atSeconds + share * (to.atSeconds - from.atSeconds);
  const crossing = { atSeconds, traceCelsius: celsius, referenceCelsius: celsius };
  yield [from, crossing];
  yield [crossing, to];
}

function differenceKelvin({ traceCelsius, referenceCelsius }: DifferencePoint): number {
  return traceCelsius - referenceCelsius;
}

function isSamePoint(one: DifferencePoint, other: DifferencePoint): boolean {
  return one.traceCelsius === other.traceCelsius && one.referenceCelsius === other.referenceCelsius;
}

function isInGap(from: CurvePoint, to: CurvePoint, gaps: readonly TimeWindow[]): boolean {
  return gaps.some((gap) => from.atSeconds < gap.toSeconds && to.atSeconds > gap.fromSeconds);
}

function celsiusBetween(from: CurvePoint, to: CurvePoint, atSeconds: number): number {
  if (atSeconds === to.atSeconds) return to.celsius;
  const share = (atSeconds - from.atSeconds) / (to.atSeconds - from.atSeconds);
  return from.celsius + share * (to.celsius - from.celsius);
}
