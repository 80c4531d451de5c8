import {
  collectedEquivalentSeconds,
  type LayerAccount,
  type LayerForecast,
  layerSide,
} from "#core/heat/layer-ledger";
import type { Material } from "#core/heat/material";
import { numberText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";

/** A layer's heat work so far, and with the next bake where one is looked at, against its window. */
export interface LayerRow {
  readonly name: string;
  /** "61 + 20 = 81 s at 760 °C; window 45 to 75 s". */
  readonly text: string;
  /** "short", "right" or "excess"; empty where no window is stated. */
  readonly side: string;
  /** True where a person should look: it ends outside of its window. */
  readonly isOutside: boolean;
  /** Null where no window is stated. */
  readonly bar: LayerBar | null;
}

/** What a layer's bar shows, s at its material's reference. */
export interface LayerBar {
  readonly beforeEquivalentSeconds: number;
  readonly addedEquivalentSeconds: number;
  readonly leastEquivalentSeconds: number;
  readonly mostEquivalentSeconds: number;
}

interface HeatWork {
  readonly before: number;
  /** Null where no bake is looked at. */
  readonly added: number | null;
}

/** What a layer of a job has had so far; that it still lacks some calls for nobody. */
export function accountRow({ name, material, portions }: LayerAccount, unit: TemperatureUnit): LayerRow {
  const row = layerRow(
    name,
    material,
    { before: collectedEquivalentSeconds({ portions }), added: null },
    unit,
  );
  return { ...row, isOutside: row.side === beginWords.sides.excess };
}

/** What the next bake would make of a layer. */
export function forecastRow(forecast: LayerForecast, unit: TemperatureUnit): LayerRow {
  const { name, material, beforeEquivalentSeconds: before, addedEquivalentSeconds: added } = forecast;
  return layerRow(name, material, { before, added }, unit);
}

function layerRow(name: string, material: Material, heatWork: HeatWork, unit: TemperatureUnit): LayerRow {
  const { window } = material;
  const { before, added } = heatWork;
  const side = layerSide(material, before + (added ?? 0));
  return {
    name,
    text: `${heatWorkText(heatWork, material, unit)}; ${windowText(material)}`,
    side: side === "unknown" ? "" : beginWords.sides[side],
    isOutside: side === "short" || side === "excess",
    bar: window && { beforeEquivalentSeconds: before, addedEquivalentSeconds: added ?? 0, ...window },
  };
}

function heatWorkText({ before, added }: HeatWork, material: Material, unit: TemperatureUnit): string {
  const reference = temperatureWithUnit(material.referenceCelsius, unit);
  const total = beginWords.seconds(numberText(before + (added ?? 0)), reference);
  return added === null || before === 0
    ? total
    : beginWords.sum(numberText(before), numberText(added), total);
}

function windowText({ window }: Material): string {
  if (!window) return beginWords.noWindow;
  return beginWords.window(
    numberText(window.leastEquivalentSeconds),
    numberText(window.mostEquivalentSeconds),
  );
}
