import type { ComparisonUncertainty } from "#core/compare/measurement-uncertainty";
import { fahrenheitDifferenceFromKelvin } from "#core/units";

/**
 * What the uncertainty means, as one or two plain sentences; what 5 K would do is said with it.
 * @example uncertaintySentence({ coverageFactor: 2, basis: "class", topKelvin: 3.94, holds: [], heatWorkRatio: { low: 0.88, high: 1.15 }, fiveKelvinFraction: 0.171 }, "celsius") // "Temperatures are sure to ± 3.9 K (k = 2, the thermocouple by its class when new), heat work from 88 to 115 % of plan. 5 K are 17 % of it."
 */
export function uncertaintySentence(
  { coverageFactor, basis, topKelvin, heatWorkRatio, fiveKelvinFraction }: ComparisonUncertainty,
  unit: "celsius" | "fahrenheit",
): string {
  const sure = `Temperatures are sure to ± ${difference(topKelvin, unit)} (k = ${coverageFactor}, ${bases[basis]})`;
  const work = heatWorkRatio
    ? `, heat work from ${percent(heatWorkRatio.low)} to ${percent(heatWorkRatio.high)} % of plan`
    : "";
  const five =
    fiveKelvinFraction === null
      ? ""
      : ` ${unit === "celsius" ? "5 K" : "9 °F"} are ${percent(fiveKelvinFraction)} % of it.`;
  return `${sure}${work}.${five}`;
}

const bases: Readonly<Record<ComparisonUncertainty["basis"], string>> = {
  check: "the thermocouple by its last check",
  class: "the thermocouple by its class when new",
  none: "the thermocouple's own part is not known and not in it",
};

function difference(kelvin: number, unit: "celsius" | "fahrenheit"): string {
  const value = unit === "celsius" ? kelvin : fahrenheitDifferenceFromKelvin(kelvin);
  return `${value.toFixed(1)} ${unit === "celsius" ? "K" : "°F"}`;
}

function percent(fraction: number): number {
  return Math.round(100 * fraction);
}
