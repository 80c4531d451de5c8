import { referenceRangeCelsius, seebeckMicrovoltsPerKelvin } from "#core/thermocouple/emf";
import type { Probe } from "#core/thermocouple/probe";
import { toleranceKelvin } from "#core/thermocouple/tolerance";

/** How what is given of a quantity is meant, and by what it is divided for a standard uncertainty. */
export type Distribution = "normal" | "rectangular" | "triangular";

/** One line of a budget as it is put in. */
export interface Contribution<Quantity extends string = string> {
  readonly quantity: Quantity;
  readonly distribution: Distribution;
  /** A half-width, or for `normal` an uncertainty expanded by `coverageFactor`; in the quantity's own unit. */
  readonly given: number;
  /** For `normal` only; 1 when `given` is a standard uncertainty already. */
  readonly coverageFactor?: number | undefined;
  /** What one unit of it does to the result. */
  readonly sensitivity: number;
}

/** One line of a budget as it comes out. */
export interface BudgetLine<Quantity extends string = string> extends Contribution<Quantity> {
  readonly standardUncertainty: number;
  /** Standard uncertainty times sensitivity, in the result's unit, signed. */
  readonly contribution: number;
}

/** A combined uncertainty with the lines that it is made of. */
export interface UncertaintyBudget<Quantity extends string = string> {
  readonly lines: readonly BudgetLine<Quantity>[];
  readonly combined: number;
  readonly coverageFactor: number;
  /** The combined one times the coverage factor. */
  readonly expanded: number;
}

/** What a temperature's budget may hold. */
export type ProbeQuantity =
  | "probe-tolerance"
  | "last-check"
  | "cold-junction"
  | "instrument-accuracy"
  | "instrument-resolution"
  | "position";

/** How sure one temperature is. */
export interface ProbeBudget extends UncertaintyBudget<ProbeQuantity> {
  /** What the probe's part rests on. */
  readonly basis: "check" | "class" | "none";
  readonly celsius: number;
  /** What a budget should hold and nobody said. */
  readonly missing: readonly ProbeQuantity[];
}

/** About 95 % of a normal distribution: the factor that is usual in calibration (EA-4/02, GUM 6.3). */
export const COVERAGE_FACTOR = 2;

/** A usual cold junction where none was said, °C. */
const ROOM_CELSIUS = 23;

/**
 * Uncertainties combined by the law of propagation for independent quantities (GUM, JCGM 100:2008, 5.1.2):
 *
 *     u_c² = Σ (cᵢ·uᵢ)²      uᵢ = a/√3 rectangular, a/√6 triangular, U/k normal (GUM 4.3)
 *
 * @param contributions half-widths or expanded uncertainties, none negative
 * @param coverageFactor k of the expanded uncertainty
 * @throws RangeError for a negative width
 * @example combinedUncertainty([{ quantity: "a", distribution: "normal", given: 3, sensitivity: 1 }, { quantity: "b", distribution: "normal", given: 4, sensitivity: 1 }]).expanded // 10
 */
export function combinedUncertainty<Quantity extends string>(
  contributions: readonly Contribution<Quantity>[],
  coverageFactor: number = COVERAGE_FACTOR,
): UncertaintyBudget<Quantity> {
  const lines = contributions.map((line) => {
    const standard = standardUncertainty(line);
    return { ...line, standardUncertainty: standard, contribution: standard * line.sensitivity };
  });
  const combined = Math.hypot(...lines.map(({ contribution }) => contribution));
  return { lines, combined, coverageFactor, expanded: coverageFactor * combined };
}

/**
 * How sure a reading is at a temperature, K: the probe by its last accepted check or by its class when new,
 * the cold junction (its error times the ratio of the Seebeck coefficients there and at the junction), the
 * adapter's accuracy and resolution, and the place of the probe beside that of the ware.
 *
 * A check is a comparison of the whole chain, so that it stands for probe, cold junction and accuracy
 * together; what it cannot have seen is the place and the last digit. Drift since the check is not in it:
 * the age stands beside it wherever it is shown.
 * @param celsius             of the reading
 * @param coldJunctionCelsius as measured; a room's where nobody said
 */
export function probeBudget(
  probe: Probe,
  celsius: number,
  coldJunctionCelsius: number = ROOM_CELSIUS,
): ProbeBudget {
  const { correction } = probe;
  const chain = correction ? checkedChain(correction) : newChain(probe, celsius, coldJunctionCelsius);
  const contributions = [...chain, ...remaining(probe)];
  const present = new Set(contributions.map(({ quantity }) => quantity));
  const wanted: readonly ProbeQuantity[] = correction
    ? ["instrument-resolution", "position"]
    : ["probe-tolerance", "cold-junction", "instrument-accuracy", "instrument-resolution", "position"];
  return {
    ...combinedUncertainty(contributions),
    basis: correction ? "check" : present.has("probe-tolerance") ? "class" : "none",
    celsius,
    missing: wanted.filter((quantity) => !present.has(quantity)),
  };
}

/**
 * What a kelvin at the cold junction does to the reading at a temperature: S(t_cold)/S(t), K/K.
 * @returns 1 where the type is not known, or the temperature is out of its range
 * @example coldJunctionSensitivity("S", 960, 25).toFixed(2) // "0.52"
 */
export function coldJunctionSensitivity(
  type: Probe["type"],
  celsius: number,
  coldJunctionCelsius: number,
): number {
  if (type === null) return 1;
  const { from, to } = referenceRangeCelsius(type);
  const isInside = (value: number) => value >= from && value <= to;
  if (!isInside(celsius) || !isInside(coldJunctionCelsius)) return 1;
  return seebeckMicrovoltsPerKelvin(type, coldJunctionCelsius) / seebeckMicrovoltsPerKelvin(type, celsius);
}

type Part = Contribution<ProbeQuantity>;

function checkedChain({
  expandedUncertaintyKelvin,
  coverageFactor,
}: NonNullable<Probe["correction"]>): Part[] {
  return [
    {
      quantity: "last-check",
      distribution: "normal",
      given: expandedUncertaintyKelvin,
      coverageFactor,
      sensitivity: 1,
    },
  ];
}

function newChain(probe: Probe, celsius: number, coldJunctionCelsius: number): Part[] {
  const { type, toleranceClass, coldJunctionAccuracyKelvin, instrumentAccuracyKelvin } = probe;
  const tolerance = type && toleranceClass ? toleranceKelvin(type, toleranceClass, celsius) : null;
  return [
    ...rectangular("probe-tolerance", tolerance),
    ...rectangular(
      "cold-junction",
      coldJunctionAccuracyKelvin,
      coldJunctionSensitivity(type, celsius, coldJunctionCelsius),
    ),
    ...rectangular("instrument-accuracy", instrumentAccuracyKelvin),
  ];
}

function remaining({ instrumentResolutionKelvin, positionKelvin }: Probe): Part[] {
  const halfDigit = instrumentResolutionKelvin === null ? null : instrumentResolutionKelvin / 2;
  return [...rectangular("instrument-resolution", halfDigit), ...rectangular("position", positionKelvin)];
}

function rectangular(quantity: ProbeQuantity, halfWidth: number | null, sensitivity = 1): Part[] {
  return halfWidth === null ? [] : [{ quantity, distribution: "rectangular", given: halfWidth, sensitivity }];
}

function standardUncertainty({ quantity, distribution, given, coverageFactor = 1 }: Contribution): number {
  if (!(given >= 0))
    throw new RangeError(`combinedUncertainty requires widths of 0 or more, got ${given} for ${quantity}`);
  switch (distribution) {
    case "normal":
      return given / coverageFactor;
    case "rectangular":
      return given / Math.sqrt(3);
    case "triangular":
      return given / Math.sqrt(6);
  }
}
