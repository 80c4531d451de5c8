import type { ClimbComparison, Comparison, HoldComparison } from "#core/compare/comparison";
import { findingSentence, type TemperatureUnit } from "#core/compare/finding-words";
import type { Trace } from "#core/trace/trace";
import { fahrenheitDifferenceFromKelvin, fahrenheitFromCelsius } from "#core/units";
import { columns } from "#daemon/command/output";
import type { Plan } from "#shared/plan";

const NOTHING = "–";

/** A verdict as a person reads it in a terminal: what was found, then plan and trace side by side. */
export function verdictText(plan: Plan, trace: Trace, judged: Comparison, unit: TemperatureUnit): string {
  const { heatWork } = judged;
  const marks = judged.findings.map((finding) => {
    return `${finding.needsPerson ? "  !  " : "     "}${findingSentence(finding, unit)}\n`;
  });
  const kilojoules = heatWork.activationEnergyJoulesPerMole / 1000;
  return [
    `${plan.name}\n`,
    ...marks,
    "\n",
    columns(stageRows(judged, unit)),
    "\n",
    columns([
      ["highest", temperature(judged.peakCelsius, unit)],
      ["above a hold", difference(judged.overshootKelvin, unit), seconds(judged.overshootSeconds)],
      ["below a hold", difference(judged.undershootKelvin, unit)],
      ...vacuumRows(judged, unit),
      ["readings", String(trace.length), `${judged.gaps.length} gap(s)`],
    ]),
    "\n",
    `Heat work at ${temperature(heatWork.referenceCelsius, unit)}, ${kilojoules} kJ/mol: `,
    `planned ${seconds(heatWork.plannedEquivalentSeconds)}, delivered ${seconds(heatWork.deliveredEquivalentSeconds)}`,
    heatWork.ratio === null ? "" : `, ${Math.round(heatWork.ratio * 100)} %`,
    heatWork.equivalentOffsetKelvin === null
      ? ""
      : `; as if the whole bake had run ${signedDifference(heatWork.equivalentOffsetKelvin, unit)}`,
    "\n",
  ].join("");
}

function stageRows(judged: Comparison, unit: TemperatureUnit): string[][] {
  const legs = judged.climbs.flatMap((climb, index) => {
    const hold = judged.holds[index];
    return [climbRow(climb, unit), ...(hold ? [holdRow(hold, unit)] : [])];
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

function holdRow({ index, celsius, bandKelvin, planned, actual }: HoldComparison, unit: TemperatureUnit) {
  return [
    `hold ${index}`,
    temperature(celsius, unit),
    temperature(actual?.meanCelsius, unit),
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
