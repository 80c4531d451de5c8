import type { GlassOutcome } from "#core/heat/glass-outcome";
import { layerSide } from "#core/heat/layer-ledger";
import { frameworkName } from "#core/plan/adapt";
import type { Heated } from "#daemon/command/heat";
import { columns } from "#daemon/command/output";
import type { Material } from "#shared/material";

const NOTHING = "–";

const SIDES = { short: "short", right: "right", excess: "too much", unknown: NOTHING } as const;

/** What a trace would have done to a layer, as a person reads it in a terminal: chamber and ware side by side. */
export function heatText({ material, file, gaps, chamber, ware }: Heated): string {
  const { name, origin, activationEnergyJoulesPerMole, referenceCelsius } = material;
  const outcomes = ware ? [chamber, ware.outcome] : [chamber];
  const row = (label: string, cell: (outcome: GlassOutcome) => string) => [label, ...outcomes.map(cell)];
  return [
    `${name} (${origin.kind}): ${activationEnergyJoulesPerMole / 1000} kJ/mol, counted at ${referenceCelsius} °C\n`,
    `${file.trace.length} readings, ${gaps.length} gap(s)\n\n`,
    columns([
      ["", "chamber", ...(ware ? ["ware"] : [])],
      row("heat work", ({ heatWorkEquivalentSeconds }) => `${heatWorkEquivalentSeconds.toFixed(1)} s`),
      ...windowRows(material, outcomes),
      row("flow length", ({ flowLengthMicrometres }) => micrometres(flowLengthMicrometres)),
      row("pores close at", ({ closure }) => (closure ? `${closure.celsius.toFixed(0)} °C` : NOTHING)),
      row("after", ({ closure }) => (closure ? clock(closure.atSeconds) : NOTHING)),
      row("under", ({ closure }) => pressure(closure?.hectopascals)),
      row("porosity", ({ porosityFraction }) => percent(porosityFraction, 2)),
      row("pore radius", ({ poreRadiusMicrometres }) => micrometres(poreRadiusMicrometres, 2)),
      row("reflectance of 1 mm", ({ reflectanceFraction }) => percent(reflectanceFraction, 1)),
      row("edge radius", ({ edgeRadiusMicrometres }) => micrometres(edgeRadiusMicrometres)),
    ]),
    ware ? wareSentence(ware) : "",
    "\nThis is what the trace alone would have done to a well-built layer: consistent with, never caused by.\n",
  ].join("");
}

function windowRows(material: Material, outcomes: readonly GlassOutcome[]): string[][] {
  const { window } = material;
  if (!window) return [];
  const label = `  of ${window.leastEquivalentSeconds} to ${window.mostEquivalentSeconds} s`;
  // A window is counted by the chamber, as charts are.
  return [
    [
      label,
      ...outcomes.map((outcome, index) =>
        index === 0 ? SIDES[layerSide(material, outcome.heatWorkEquivalentSeconds)] : "",
      ),
    ],
  ];
}

function wareSentence({
  ware,
  slowEquivalentSeconds,
  fastEquivalentSeconds,
}: NonNullable<Heated["ware"]>): string {
  const { framework, grams, wallMillimetres } = ware;
  return `\nWare: ${frameworkName(framework)}, ${grams} g, ${wallMillimetres} mm wall; an estimate, ${slowEquivalentSeconds.toFixed(0)} to ${fastEquivalentSeconds.toFixed(0)} s if it takes up heat 1.5 times as slowly or as fast.\n`;
}

function micrometres(value: number | null, digits = 1): string {
  return value === null ? NOTHING : `${value.toFixed(digits)} µm`;
}

function percent(fraction: number | null, digits: number): string {
  return fraction === null ? NOTHING : `${(100 * fraction).toFixed(digits)} %`;
}

function pressure(hectopascals: number | null | undefined): string {
  return hectopascals === null || hectopascals === undefined ? NOTHING : `${hectopascals.toFixed(0)} hPa`;
}

/** Minutes and seconds since the trace's own zero. */
function clock(atSeconds: number): string {
  const whole = Math.round(atSeconds);
  const sign = whole < 0 ? "−" : "";
  const length = Math.abs(whole);
  return `${sign}${Math.floor(length / 60)}:${String(length % 60).padStart(2, "0")} min`;
}
