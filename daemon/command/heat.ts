import type { Writable } from "node:stream";
import { type GlassOutcome, glassOutcome } from "#core/heat/glass-outcome";
import { heatWorkEquivalentSeconds } from "#core/heat/heat-work";
import { usualWare, type Ware, type WarePoint, wareTrace } from "#core/heat/ware";
import { CASE_SIZES, FRAMEWORKS } from "#core/plan/bake-case";
import { despiked } from "#core/trace/despike";
import { noiseKelvin } from "#core/trace/noise";
import { type Gap, gaps, type Trace } from "#core/trace/trace";
import { trustedTrace } from "#core/trace/trusted";
import { oneOf } from "#daemon/command/case-options";
import { heatText } from "#daemon/command/heat-text";
import { readMaterialFile } from "#daemon/command/material-file";
import { callOptions, numberOption, wrongCall } from "#daemon/command/options";
import { GOOD, type Verb, write, writeJson } from "#daemon/command/output";
import { typeOption } from "#daemon/command/thermocouple-options";
import { readTraceFile, type TraceFile } from "#daemon/command/trace-file";
import { traceSettings } from "#daemon/command/trace-options";
import type { Material } from "#shared/material";

const VERB = "heat";

const OPTIONS = {
  material: { type: "string" },
  framework: { type: "string" },
  size: { type: "string" },
  grams: { type: "string" },
  wall: { type: "string" },
  type: { type: "string" },
  cold: { type: "string" },
  from: { type: "string" },
  json: { type: "boolean" },
} as const;

/** A ware with what the bake would have done to the layer on it. */
export interface WareOutcome {
  readonly ware: Ware;
  readonly outcome: GlassOutcome;
  /** Its heat work if it takes up heat 1.5 times as slowly, and as fast. */
  readonly slowEquivalentSeconds: number;
  readonly fastEquivalentSeconds: number;
}

/** What a trace would have done to a layer of a material. */
export interface Heated {
  readonly material: Material;
  readonly file: TraceFile;
  readonly wildReadings: number;
  readonly gaps: readonly Gap[];
  readonly chamber: GlassOutcome;
  readonly ware: WareOutcome | null;
}

/**
 * `bakeside heat TRACE.csv --material M.json [--framework zirconia [--size medium] [--grams 2] [--wall 2]]
 * [--type S --cold 24 --from mv] [--json]`: heat work and what the glass models make of it, by the chamber's
 * temperature, and by the ware's where a framework is given.
 */
export const run: Verb = async (args, out, notes) => {
  const { values, positionals } = callOptions(VERB, args, OPTIONS, ["TRACE.csv"]);
  if (values.material === undefined)
    throw wrongCall(VERB, "--material M.json is missing; bakeside material schema says how it is written");
  const ware = wareOption(values);
  const type = values.type === undefined ? null : typeOption(VERB, values.type);
  const settings = traceSettings(VERB, type, values.cold, values.from);
  const material = await readMaterialFile(values.material);
  const path = positionals[0] ?? "";
  const file = await readTraceFile(path, settings);
  const heated = heatedLayer(file, material, ware);
  await noteReadings(notes, path, heated);
  if (values.json) await writeJson(out, heatJson(heated));
  else await write(out, heatText(heated));
  return GOOD;
};

/** The ware of a call: what is not said of it is that of a usual case of its size. */
function wareOption(
  values: {
    readonly [name in "framework" | "size" | "grams" | "wall"]?: string | undefined;
  },
): Ware | null {
  const { framework, size, grams, wall } = values;
  if (framework === undefined) {
    const said = (["size", "grams", "wall"] as const).find((name) => values[name] !== undefined);
    if (said) throw wrongCall(VERB, `--${said} needs --framework, which says what takes up the heat`);
    return null;
  }
  const usual = usualWare({
    framework: oneOf(VERB, "framework", framework, FRAMEWORKS),
    caseSize: oneOf(VERB, "size", size ?? "medium", CASE_SIZES),
  });
  return {
    ...usual,
    grams: grams === undefined ? usual.grams : numberOption(VERB, "grams", grams, { from: 0.01, to: 1000 }),
    wallMillimetres:
      wall === undefined ? usual.wallMillimetres : numberOption(VERB, "wall", wall, { from: 0.05, to: 50 }),
  };
}

/** Readings that no chamber can have had are left out, as in a verdict. */
function heatedLayer(file: TraceFile, material: Material, ware: Ware | null): Heated {
  const { trace: trusted, wildReadings } = trustedTrace(file.trace);
  const chamber = despiked(trusted, noiseKelvin(trusted));
  const silences = gaps(chamber);
  return {
    material,
    file,
    wildReadings,
    gaps: silences,
    chamber: glassOutcome(chamber, material, { silences }),
    ware: ware && wareOutcome(chamber, material, ware, silences),
  };
}

function wareOutcome(chamber: Trace, material: Material, ware: Ware, silences: readonly Gap[]): WareOutcome {
  const points = wareTrace(chamber, ware);
  const layer = points.map(({ atSeconds, celsius }, index) => ({
    atSeconds,
    celsius,
    hectopascals: chamber[index]?.hectopascals,
  }));
  const heatWorkBy = (celsius: (point: WarePoint) => number) =>
    heatWorkEquivalentSeconds(
      points.map((point) => ({ atSeconds: point.atSeconds, celsius: celsius(point) })),
      material,
      silences,
    );
  return {
    ware,
    outcome: glassOutcome(layer, material, { silences }),
    slowEquivalentSeconds: heatWorkBy(({ slowCelsius }) => slowCelsius),
    fastEquivalentSeconds: heatWorkBy(({ fastCelsius }) => fastCelsius),
  };
}

function heatJson({ material, file, wildReadings, gaps: silences, chamber, ware }: Heated): object {
  return {
    material,
    samples: file.trace.length,
    missingReadings: file.missingReadings,
    wildReadings,
    gaps: silences,
    chamber,
    ware,
  };
}

async function noteReadings(
  notes: Writable,
  path: string,
  { file, wildReadings, gaps: silences }: Heated,
): Promise<void> {
  const { count, firstLine } = file.missingReadings;
  if (count > 0)
    await write(
      notes,
      `${path}: ${count} row(s) without a reading, the first in line ${firstLine}: taken as not measured\n`,
    );
  if (wildReadings > 0)
    await write(notes, `${path}: ${wildReadings} reading(s) jumped away and back: taken as not measured\n`);
  const [first] = silences;
  if (first)
    await write(
      notes,
      `${path}: ${silences.length} gap(s), the first from ${Math.round(first.fromSeconds)} to ${Math.round(first.toSeconds)} s, hold no heat work and no flow: a planned curve needs a row every few seconds\n`,
    );
}
