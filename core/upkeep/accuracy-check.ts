import { type CorrectionPoint, isCorrection } from "#core/thermocouple/correction";
import type { Probe } from "#core/thermocouple/probe";
import { type Contribution, combinedUncertainty } from "#core/thermocouple/uncertainty";
import { FIXED_POINTS, SILVER_IN_AIR_KELVIN, type WireMetal } from "#core/upkeep/fixed-points";

/** Who sees a wire melt presses, or reads, within so much of it, s (our own choice). */
const SEEN_WITHIN_SECONDS = 3;

/** A check's reading beside what it should have been. */
export interface CheckedPoint {
  /** Uncorrected, °C. */
  readonly readingCelsius: number;
  readonly trueCelsius: number;
  /** Reading − true, K. */
  readonly differenceKelvin: number;
}

/** What a check came to. */
export interface CheckOutcome {
  readonly points: readonly CheckedPoint[];
  /** The point furthest from true, K. */
  readonly worstDifferenceKelvin: number;
  readonly expandedUncertaintyKelvin: number;
  readonly coverageFactor: number;
  readonly limitKelvin: number;
  /** `cannot-tell`: the check is less sure than the limit that it is held against. */
  readonly verdict: "within" | "outside" | "cannot-tell";
  /** What would be added to readings if it is accepted. */
  readonly correction: readonly CorrectionPoint[];
}

/** A melting wire, and what was read when it melted. */
export interface WireCheck {
  readonly metal: WireMetal;
  readonly atmosphere: "vacuum" | "inert" | "air";
  /** Of the wire's own melting point for its purity, ± K. */
  readonly wireKelvin: number;
  readonly limitKelvin: number;
  /** Uncorrected, °C. */
  readonly readingCelsius: number;
  /** Of the reading: noise and the plateau's own slope, K. */
  readonly readingStandardKelvin: number;
  /** How fast it climbed while somebody watched; 0 for a plateau, which waits. */
  readonly climbKelvinPerMinute: number;
  readonly probe: Probe;
}

/** A reading beside that of a reference thermocouple. */
export interface ReferencePoint {
  readonly readingCelsius: number;
  readonly referenceCelsius: number;
  /** Added to the reference's reading, K. */
  readonly referenceCorrectionKelvin: number;
  readonly instrumentCorrectionKelvin: number;
}

/** Readings beside a reference thermocouple. */
export interface ReferenceCheck {
  readonly points: readonly ReferencePoint[];
  /** Of the reference with its instrument, expanded, ± K. */
  readonly referenceExpandedKelvin: number;
  readonly referenceCoverageFactor: number;
  /** How far the two junctions may have stood apart in temperature, ± K. */
  readonly positionKelvin: number;
  readonly limitKelvin: number;
  readonly probe: Probe;
}

/**
 * A melting wire: offset = reading − fixed point. Silver in air melts lower by an amount that is not known
 * for one wire: it is taken as anything down to 11 K, and so seldom decides anything.
 * @example wireCheck({ metal: "silver", atmosphere: "vacuum", wireKelvin: 0.5, limitKelvin: 5, readingCelsius: 964, readingStandardKelvin: 0.1, climbKelvinPerMinute: 0, probe: { type: null, toleranceClass: null, instrumentAccuracyKelvin: null, instrumentResolutionKelvin: null, coldJunctionAccuracyKelvin: null, positionKelvin: null, correction: null } }).verdict // "within"
 */
export function wireCheck(check: WireCheck): CheckOutcome {
  const { metal, atmosphere, readingCelsius, limitKelvin } = check;
  const isLowered = metal === "silver" && atmosphere === "air";
  const trueCelsius = FIXED_POINTS[metal].celsius - (isLowered ? SILVER_IN_AIR_KELVIN / 2 : 0);
  const contributions: Contribution[] = [
    part("reading", "normal", check.readingStandardKelvin),
    part("wire", "rectangular", check.wireKelvin),
    part("seen", "rectangular", (Math.abs(check.climbKelvinPerMinute) / 60) * SEEN_WITHIN_SECONDS),
    part("oxygen", "rectangular", isLowered ? SILVER_IN_AIR_KELVIN / 2 : 0),
    ...resolutionPart(check.probe),
  ];
  return outcome([pointOf(readingCelsius, trueCelsius)], contributions, limitKelvin);
}

/**
 * Readings beside a reference thermocouple, in the manner of a system accuracy test (SAE AMS 2750, by trade
 * articles): true = reference reading + its correction + that of its instrument; difference = reading − true.
 * @example referenceCheck({ points: [{ readingCelsius: 850, referenceCelsius: 848.6, referenceCorrectionKelvin: 0.9, instrumentCorrectionKelvin: -0.3 }], referenceExpandedKelvin: 1, referenceCoverageFactor: 2, positionKelvin: 0, limitKelvin: 3, probe: { type: null, toleranceClass: null, instrumentAccuracyKelvin: null, instrumentResolutionKelvin: null, coldJunctionAccuracyKelvin: null, positionKelvin: null, correction: null } }).worstDifferenceKelvin.toFixed(1) // "0.8"
 * @throws RangeError without a point
 */
export function referenceCheck(check: ReferenceCheck): CheckOutcome {
  if (check.points.length === 0) throw new RangeError("referenceCheck requires a point or more, got none");
  const points = check.points.map((point) =>
    pointOf(
      point.readingCelsius,
      point.referenceCelsius + point.referenceCorrectionKelvin + point.instrumentCorrectionKelvin,
    ),
  );
  const contributions: Contribution[] = [
    {
      ...part("reference", "normal", check.referenceExpandedKelvin),
      coverageFactor: check.referenceCoverageFactor,
    },
    part("position", "rectangular", check.positionKelvin),
    ...resolutionPart(check.probe),
  ];
  return outcome(points, contributions, check.limitKelvin);
}

function outcome(
  points: readonly CheckedPoint[],
  contributions: readonly Contribution[],
  limitKelvin: number,
): CheckOutcome {
  const worst = points.reduce((most, point) =>
    Math.abs(point.differenceKelvin) > Math.abs(most.differenceKelvin) ? point : most,
  );
  const { correction, leftKelvin } = correctionOf(points);
  const { expanded, coverageFactor } = combinedUncertainty([
    ...contributions,
    part("between points", "rectangular", leftKelvin),
  ]);
  return {
    points,
    worstDifferenceKelvin: worst.differenceKelvin,
    expandedUncertaintyKelvin: expanded,
    coverageFactor,
    limitKelvin,
    verdict: verdictOf(worst.differenceKelvin, expanded, limitKelvin),
    correction,
  };
}

/** Held against the limit as it stands, as a system accuracy test does; unless the check is less sure. */
function verdictOf(differenceKelvin: number, expanded: number, limitKelvin: number): CheckOutcome["verdict"] {
  if (Math.abs(differenceKelvin) - expanded > limitKelvin) return "outside";
  if (expanded > limitKelvin) return "cannot-tell";
  return Math.abs(differenceKelvin) <= limitKelvin ? "within" : "outside";
}

/**
 * A correction through the points; where they contradict each other (one reading, two truths, or a
 * correction that falls faster than the reading rises) their mean, and what it leaves.
 */
function correctionOf(points: readonly CheckedPoint[]): {
  readonly correction: readonly CorrectionPoint[];
  readonly leftKelvin: number;
} {
  const byReading = [...points]
    .sort((a, b) => a.readingCelsius - b.readingCelsius)
    .map(({ readingCelsius, differenceKelvin }) => ({
      readingCelsius,
      correctionKelvin: 0 - differenceKelvin,
    }));
  if (isCorrection(byReading)) return { correction: byReading, leftKelvin: 0 };
  const mean = (pick: (point: CorrectionPoint) => number) =>
    byReading.reduce((sum, point) => sum + pick(point), 0) / byReading.length;
  const correctionKelvin = mean((point) => point.correctionKelvin);
  const leftKelvin = Math.max(
    ...byReading.map((point) => Math.abs(point.correctionKelvin - correctionKelvin)),
  );
  return {
    correction: [{ readingCelsius: mean((point) => point.readingCelsius), correctionKelvin }],
    leftKelvin,
  };
}

function pointOf(readingCelsius: number, trueCelsius: number): CheckedPoint {
  return { readingCelsius, trueCelsius, differenceKelvin: readingCelsius - trueCelsius };
}

function resolutionPart({ instrumentResolutionKelvin }: Probe): Contribution[] {
  return instrumentResolutionKelvin === null
    ? []
    : [part("resolution", "rectangular", instrumentResolutionKelvin / 2)];
}

function part(quantity: string, distribution: Contribution["distribution"], given: number): Contribution {
  return { quantity, distribution, given, sensitivity: 1 };
}
