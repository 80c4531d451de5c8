import type { ClimbComparison, Comparison, HoldComparison } from "#core/compare/comparison";
import { findingSentence, type TemperatureUnit } from "#core/compare/finding-words";
import type { ComparisonUncertainty } from "#core/compare/measurement-uncertainty";
import { uncertaintySentence } from "#core/compare/uncertainty-words";
import { faultSentence, firstLook } from "#core/thermocouple/fault-words";
import type { SensorFault } from "#core/thermocouple/sensor-faults";
import type { ProbeBudget } from "#core/thermocouple/uncertainty";
import { fahrenheitDifferenceFromKelvin, fahrenheitFromCelsius } from "#core/units";
import type { Judged } from "#daemon/command/judged";
import { columns } from "#daemon/command/output";

const NOTHING = "–";

/**
 * A verdict as a person reads it in a terminal: what was found, what was wrong with the thermocouple, then plan
 * and trace side by side, with how sure the numbers are where that is known.
 */
export function verdictText(
  { plan, file, comparison: judged, sensorFaults, budget }: Judged,
  unit: TemperatureUnit,
): string {
  const { heatWork, uncertainty } = judged;
  const kilojoules = heatWork.activationEnergyJoulesPerMole / 1000;
  return [
    `${plan.name}\n`,
    ...judged.findings.map((finding) => marked(findingSentence(finding, unit), finding.needsPerson)),
    ...thermocoupleBlock(sensorFaults, unit),
    "\n",
    columns(stageRows(judged, unit)),
    "\n",
    columns([
      ["highest", temperature(judged.peakCelsius, unit), topUncertainty(uncertainty, unit)],
      ["above a hold", difference(judged.overshootKelvin, unit), seconds(judged.overshootSeconds)],
      ["below a hold", difference(judged.undershootKelvin, unit)],
      ...vacuumRows(judged, unit),
      ["readings", String(file.trace.length), `${judged.gaps.length} gap(s)`],
    ]),
    "\n",
    `Heat work at ${temperature(heatWork.referenceCelsius, unit)}, ${kilojoules} kJ/mol: `,
    `planned ${seconds(heatWork.plannedEquivalentSeconds)}, delivered ${seconds(heatWork.deliveredEquivalentSeconds)}`,
    heatWork.ratio === null ? "" : `, ${percent(heatWork.ratio)}`,
    heatWork.equivalentOffsetKelvin === null
      ? ""
      : `; as if the whole bake had run ${signedDifference(heatWork.equivalentOffsetKelvin, unit)}`,
    "\n",
    uncertainty ? uncertaintyText(uncertainty, budget, unit) : "",
  ].join("");
}

function marked(sentence: string, needsPerson: boolean): string {
  return `${needsPerson ? "  !  " : "     "}${sentence}\n`;
}

function thermocoupleBlock(faults: readonly SensorFault[], unit: TemperatureUnit): string[] {
  if (faults.length === 0) return [];
  return [
    "\nThermocouple\n",
    ...faults.flatMap((fault) => [
      marked(faultSentence(fault, unit), fault.needsPerson),
      ...(fault.needsPerson ? [marked(firstLook(fault.kind), false)] : []),
    ]),
  ];
}

function uncertaintyText(
  uncertainty: ComparisonUncertainty,
  budget: ProbeBudget | null,
  unit: TemperatureUnit,
): string {
  const missing = (budget?.missing ?? []).map((quantity) => quantity.replace("-", " "));
  const unsaid = missing.length > 0 ? ` Nobody said, so not in it: ${missing.join(", ")}.` : "";
  return `${uncertaintySentence(uncertainty, unit)}${unsaid}\n`;
}

function stageRows(judged: Comparison, unit: TemperatureUnit): string[][] {
  const legs = judged.climbs.flatMap((climb, index) => {
    const hold = judged.holds[index];
    const sure = judged.uncertainty?.holds.find((one) => one.index === hold?.index);
    return [climbRow(climb, unit), ...(hold ? [holdRow(hold, sure?.expandedKelvin, unit)] : [])];
  });
  const { planned, actual } = judged.cooling;
  return [
    ["", "planned", "measured", "length planned", "measured", "remark"],
    ...legs,
    ["cooling", rate(planned.kelvinPerMinute, unit), rate(actual?.kelvinPerMinute, unit)],
  ];
}

function climbRow({ index, toCelsius, planned, actual, lagKelvin }: ClimbComparison, unit: TemperatureUnit) {
  return [
    `climb ${index} to ${temperature(toCelsius, unit)}`,
    rate(planned.kelvinPerMinute, unit),
    rate(actual?.kelvinPerMinute, unit),
    seconds(planned.lengthSeconds),
    seconds(actual?.lengthSeconds),
    lagKelvin === null
      ? ""
      : `${difference(Math.abs(lagKelvin), unit)} ${lagKelvin < 0 ? "ahead" : "behind"}`,
  ];
}

function holdRow(
  { index, celsius, bandKelvin, planned, actual }: HoldComparison,
  expandedKelvin: number | undefined,
  unit: TemperatureUnit,
) {
  return [
    `hold ${index}`,
    temperature(celsius, unit),
    `${temperature(actual?.meanCelsius, unit)} ${plusMinus(expandedKelvin, unit)}`.trim(),
    seconds(planned.lengthSeconds),
    seconds(actual?.lengthSeconds),
    actual ? `${seconds(actual.secondsInBand)} within ${difference(bandKelvin, unit)}` : "",
  ];
}

function vacuumRows({ vacuum }: Comparison, unit: TemperatureUnit): string[][] {
  if (!vacuum.isMeasured) return [["vacuum", vacuum.planned ? "not measured" : "none planned"]];
  if (!vacuum.actual) return [["vacuum", "none seen"]];
  const { onAtCelsius, levelHectopascals, releaseCelsius } = vacuum.actual;
  return [
    [
      "vacuum",
      `on at ${temperature(onAtCelsius, unit)}`,
      `${levelHectopascals.toFixed(0)} hPa`,
      `off at ${temperature(releaseCelsius, unit)}`,
    ],
  ];
}

function temperature(celsius: number | null | undefined, unit: TemperatureUnit): string {
  if (celsius === null || celsius === undefined) return NOTHING;
  return unit === "celsius" ? `${celsius.toFixed(1)} °C` : `${fahrenheitFromCelsius(celsius).toFixed(1)} °F`;
}

function difference(kelvin: number, unit: TemperatureUnit): string {
  return unit === "celsius"
    ? `${kelvin.toFixed(1)} K`
    : `${fahrenheitDifferenceFromKelvin(kelvin).toFixed(1)} °F`;
}

function topUncertainty(uncertainty: ComparisonUncertainty | null, unit: TemperatureUnit): string {
  return uncertainty ? `${plusMinus(uncertainty.topKelvin, unit)} (k = ${uncertainty.coverageFactor})` : "";
}

function plusMinus(kelvin: number | undefined, unit: TemperatureUnit): string {
  return kelvin === undefined ? "" : `± ${difference(kelvin, unit)}`;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}

function signedDifference(kelvin: number, unit: TemperatureUnit): string {
  return `${difference(Math.abs(kelvin), unit)} ${kelvin < 0 ? "colder" : "hotter"}`;
}

function rate(kelvinPerMinute: number | null | undefined, unit: TemperatureUnit): string {
  return kelvinPerMinute === null || kelvinPerMinute === undefined
    ? NOTHING
    : `${difference(kelvinPerMinute, unit)}/min`;
}

function seconds(length: number | null | undefined): string {
  return length === null || length === undefined ? NOTHING : `${length.toFixed(0)} s`;
}
