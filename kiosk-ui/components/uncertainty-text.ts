import { findingClaim, findingSentence } from "#core/compare/finding-words";
import { uncertaintySentence } from "#core/compare/uncertainty-words";
import { thermocoupleWords as words } from "#kiosk-ui/components/thermocouple-words";
import { differenceWithUnit, percentText, type TemperatureUnit } from "#kiosk-ui/format";
import type { ComparisonUncertainty, Finding } from "#shared/comparison";

/** How sure a temperature is: "± 4.8 K". */
export function plusMinusText(kelvin: number, unit: TemperatureUnit): string {
  return words.plusMinus(differenceWithUnit(kelvin, unit, 1));
}

/** How sure the temperatures of a hold are, ± K; as at the top where that hold is not in it; null for not known. */
export function holdUncertaintyKelvin(
  uncertainty: ComparisonUncertainty | null,
  index: number,
): number | null {
  if (!uncertainty) return null;
  return uncertainty.holds.find((hold) => hold.index === index)?.expandedKelvin ?? uncertainty.topKelvin;
}

/**
 * Said of a difference that the thermocouple cannot tell from none: "less than the ± 3.9 K of the thermocouple".
 * Empty where the difference is larger, and where the uncertainty is not known.
 */
export function withinText(kelvin: number, expandedKelvin: number | null, unit: TemperatureUnit): string {
  return isWithin(kelvin, expandedKelvin) ? words.lessThan(differenceWithUnit(expandedKelvin, unit, 1)) : "";
}

/** The same where there is little room: "less than ± 3.9 K". */
export function withinBriefText(
  kelvin: number,
  expandedKelvin: number | null,
  unit: TemperatureUnit,
): string {
  return isWithin(kelvin, expandedKelvin)
    ? words.lessThanBrief(differenceWithUnit(expandedKelvin, unit, 1))
    : "";
}

/** A finding as a sentence; one that the thermocouple cannot tell from none says so. */
export function judgedSentence(
  finding: Finding,
  uncertainty: ComparisonUncertainty | null,
  unit: TemperatureUnit,
): string {
  const sentence = findingSentence(finding, unit);
  const kelvin = differenceKelvin(finding);
  if (kelvin === null) return sentence;
  const within = withinText(kelvin, holdUncertaintyKelvin(uncertainty, finding.index ?? 1), unit);
  if (within === "") return sentence;
  const claim = findingClaim(finding, unit);
  return sentence.replace(claim, `${claim} (${within})`);
}

/** Between what the heat work lies: "92 to 119 %"; empty where that is not known. */
export function ratioRangeText(uncertainty: ComparisonUncertainty | null): string {
  const range = uncertainty?.heatWorkRatio;
  return range ? words.range(percentText(range.low), percentText(range.high)) : "";
}

/** How sure a verdict is, and what 5 K are worth; or what to do about not knowing. */
export function sureText(uncertainty: ComparisonUncertainty | null, unit: TemperatureUnit): string {
  return uncertainty ? uncertaintySentence(uncertainty, unit) : words.unknown;
}

/** Smaller ones read as 0.0: nothing is to be said of them, K. */
const NOTHING_KELVIN = 0.05;

function isWithin(kelvin: number, expandedKelvin: number | null): expandedKelvin is number {
  const size = Math.abs(kelvin);
  return expandedKelvin !== null && size >= NOTHING_KELVIN && size < expandedKelvin;
}

/** By how much a finding says that a hold was off, K; null for a finding about something else. */
function differenceKelvin({ code, planned = 0, actual = 0 }: Finding): number | null {
  switch (code) {
    case "overshoot":
    case "undershoot":
      return actual;
    case "hold-low":
    case "hold-high":
      return actual - planned;
    default:
      return null;
  }
}
