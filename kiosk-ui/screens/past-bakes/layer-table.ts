import {
  collectedEquivalentSeconds,
  type HeatWorkWindow,
  heatWorkWindow,
  type LayerAccount,
  type LayerSide,
  layerSide,
} from "#core/heat/layer-ledger";
import { equivalentSecondsText } from "#kiosk-ui/components/equivalent-seconds-text";
import {
  dayText,
  numberText,
  type TemperatureUnit,
  temperatureWithUnit,
  timeOfDayText,
} from "#kiosk-ui/format";
import { ratioText } from "#kiosk-ui/screens/past-bakes/bake-words";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import type { BakeDetail } from "#shared/bake";
import type { BakeLayer, JobLedger, LayerPortion } from "#shared/layer";

/** A layer with what it has had, against its window. */
export interface LayerRow {
  readonly name: string;
  readonly material: string;
  /** In the bake that is looked at, by the chamber; a dash where it was not there yet. */
  readonly inThisBake: string;
  /** Over all bakes of the job. */
  readonly inAll: string;
  /** The same by the ware as it is estimated; empty where nobody knows it. */
  readonly byWare: string;
  readonly window: string;
  readonly side: LayerSide;
}

/** The layers of a job as a bake left them: what each collected in it and in all. */
export function layerRows({ layers }: JobLedger, bakeId: number, unit: TemperatureUnit): LayerRow[] {
  return layers.map(({ name, material: { material }, portions }) => {
    const inAll = collectedEquivalentSeconds({ portions });
    const here = portions.find((portion) => portion.bakeId === bakeId);
    return {
      name,
      material: material.name === name ? "" : material.name,
      inThisBake: here ? equivalentSecondsText(here.chamberEquivalentSeconds) : words.notThere,
      inAll: equivalentSecondsText(inAll),
      byWare: wareText(portions),
      window: windowText(material, unit),
      side: layerSide(material, inAll),
    };
  });
}

/** The layers put on before a bake, where nothing is counted. */
export function uncountedRows(layers: readonly BakeLayer[], unit: TemperatureUnit): LayerRow[] {
  return layers.map(({ name, material: { material } }) => ({
    name,
    material: material.name === name ? "" : material.name,
    inThisBake: words.notCounted,
    inAll: words.notCounted,
    byWare: "",
    window: windowText(material, unit),
    side: "unknown",
  }));
}

/** The bakes of a job in one line, oldest first; the one that is looked at is called so. */
export function jobBakesText({ jobNumber, bakes }: JobLedger, bakeId: number): string {
  const each = bakes.map((bake) => {
    const at = `${dayText(bake.startedAtEpochMilliseconds)} ${timeOfDayText(bake.startedAtEpochMilliseconds)}`;
    const ratio = bake.heatWorkRatio === null ? "" : `, ${ratioText(bake.heatWorkRatio)}`;
    return bake.bakeId === bakeId ? words.thisOne(`${at}${ratio}`) : `${at}${ratio}`;
  });
  return words.bakesOfJob(jobNumber, each.join("; "));
}

/**
 * Within what a bake's heat work had to be for every layer of its job, reckoned from what they had before it.
 * @returns null where no layer states a window, or the bake ran no plan
 */
export function windowOfBake(
  ledger: JobLedger,
  { bake, plan, layers, comparison }: BakeDetail,
): HeatWorkWindow | null {
  if (!plan) return null;
  const place = ledger.bakes.findIndex(({ bakeId }) => bakeId === bake.id);
  if (place < 0) return null;
  const before = new Set(ledger.bakes.slice(0, place).map(({ bakeId }) => bakeId));
  const accounts = ledger.layers
    .map(
      ({ name, material, portions }): LayerAccount => ({
        name,
        material: material.material,
        portions: portions.filter(({ bakeId }) => before.has(bakeId)),
      }),
    )
    .filter(({ portions }) => portions.length > 0);
  const added = layers.map(({ name, material }) => ({ name, material: material.material }));
  const coolingRate = Math.abs(comparison?.cooling.actual?.kelvinPerMinute ?? 0);
  return heatWorkWindow(accounts, added, plan.plan, coolingRate > 0 ? coolingRate : null);
}

function wareText(portions: readonly LayerPortion[]): string {
  let seconds = 0;
  for (const { wareEquivalentSeconds } of portions) {
    if (wareEquivalentSeconds === null) return "";
    seconds += wareEquivalentSeconds;
  }
  return portions.length === 0 ? "" : words.byWare(equivalentSecondsText(seconds));
}

function windowText(
  { window, referenceCelsius }: BakeLayer["material"]["material"],
  unit: TemperatureUnit,
): string {
  if (!window) return words.noWindow;
  return words.windowOf(
    numberText(window.leastEquivalentSeconds),
    numberText(window.mostEquivalentSeconds),
    temperatureWithUnit(referenceCelsius, unit),
  );
}
