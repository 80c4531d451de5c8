import type { TemperatureUnit } from "#core/compare/finding-words";
import { heatWorkRate } from "#core/heat/heat-work";
import type { FittingHolds, LayerForecast } from "#core/heat/layer-ledger";
import { type Plan, topCelsius } from "#core/plan/plan";
import { planNumber } from "#core/plan/plan-numbers";
import { fahrenheitFromCelsius } from "#core/units";

/**
 * Why the next bake holds as long as it does, in numbers: one to three short sentences about the layer that is
 * farthest from its window; what fits is said where an earlier layer goes on collecting. They say what would
 * be, and what keeps a layer right; nothing is ordered.
 * @param forecasts  as `layerForecasts` returns them
 * @param holds      of the same layers and plan; null where no layer states a window
 * @param plan       the effective plan of the bake
 * @returns empty when there is nothing to say: no windows, or nothing but new layers that come out right
 * @example ledgerSentences([], null, { name: "t", dryingSeconds: 0, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }], cooling: { kind: "free" } }) // []
 */
export function ledgerSentences(
  forecasts: readonly LayerForecast[],
  holds: FittingHolds | null,
  plan: Plan,
  unit: TemperatureUnit = "celsius",
): string[] {
  if (!holds) return [];
  const excess = layerOf(forecasts, holds.mostLayer, "excess");
  const short = layerOf(forecasts, holds.leastLayer, "short");
  if (excess) return excessSentences(excess, holds, plan, unit);
  if (short) return shortSentences(short, holds, plan, unit);
  return rightSentences(forecasts, holds, plan, unit);
}

function layerOf(
  forecasts: readonly LayerForecast[],
  name: string | null,
  side: LayerForecast["sideAfter"],
): LayerForecast | undefined {
  return forecasts.find((layer) => layer.name === name && layer.sideAfter === side);
}

function excessSentences(
  layer: LayerForecast,
  holds: FittingHolds,
  plan: Plan,
  unit: TemperatureUnit,
): string[] {
  if (layer.sideBefore === "excess")
    return [hadSentence(layer, unit), "That is above its window already, and every bake adds to it."];
  const most = holds.mostSeconds ?? 0;
  const after = seconds(layer.afterEquivalentSeconds);
  const hold = seconds(topHoldSeconds(plan));
  const first = layer.isNew ? windowSentence(layer, unit) : hadSentence(layer, unit);
  const would = `A hold of ${hold} would bring it to ${after}, above its window`;
  const alone =
    clashSentence(holds, layer) ?? `Without a hold the bake gives ${seconds(withoutHold(layer, plan))}.`;
  if (most < 0) return [first, `${would}; even none would be too much.`, alone];
  return [first, `${would}; ${fittingWords(holds, most)}.`, alone];
}

function fittingWords({ leastSeconds }: FittingHolds, mostSeconds: number): string {
  const least = Math.ceil(leastSeconds);
  const most = Math.floor(mostSeconds);
  if (least > 0 && least <= most) return `${least} to ${most} s keep every layer right`;
  return most > 0 ? `up to ${most} s keep it right` : "only no hold keeps it right";
}

/** Where another layer needs more than this one bears. */
function clashSentence(
  { leastLayer, leastSeconds, mostSeconds }: FittingHolds,
  { name }: LayerForecast,
): string | null {
  if (leastLayer === null || leastLayer === name || mostSeconds === null) return null;
  if (Math.ceil(leastSeconds) <= Math.floor(mostSeconds)) return null;
  return `${leastLayer} needs ${seconds(Math.ceil(leastSeconds))} or more: no hold of this plan suits both.`;
}

function shortSentences(
  layer: LayerForecast,
  { leastSeconds, mostSeconds, mostLayer }: FittingHolds,
  plan: Plan,
  unit: TemperatureUnit,
): string[] {
  const needed = Math.ceil(leastSeconds);
  const would = `A hold of ${seconds(topHoldSeconds(plan))} would bring it to ${seconds(layer.afterEquivalentSeconds)}, short of its window`;
  const first = layer.isNew ? windowSentence(layer, unit) : hadSentence(layer, unit);
  if (mostSeconds !== null && mostSeconds < leastSeconds && mostLayer !== null)
    return [
      first,
      `${would}; ${seconds(needed)} would make it right.`,
      `${mostLayer} bears ${mostSeconds < 0 ? "no hold at all" : `${seconds(Math.floor(mostSeconds))} at most`}: no hold of this plan suits both.`,
    ];
  return [first, `${would}; from ${seconds(needed)} on it comes right.`];
}

/** All come out right: said only where an earlier layer collects more, since that is what limits the hold. */
function rightSentences(
  forecasts: readonly LayerForecast[],
  holds: FittingHolds,
  plan: Plan,
  unit: TemperatureUnit,
): string[] {
  const layer = forecasts.find(({ name, isNew }) => name === holds.mostLayer && !isNew);
  if (!layer || holds.mostSeconds === null) return [];
  return [
    hadSentence(layer, unit),
    `A hold of ${seconds(topHoldSeconds(plan))} would bring it to ${seconds(layer.afterEquivalentSeconds)}, within its window; up to ${Math.floor(holds.mostSeconds)} s keep it right.`,
  ];
}

function hadSentence(layer: LayerForecast, unit: TemperatureUnit): string {
  return `${layer.name} has had ${seconds(layer.beforeEquivalentSeconds)} at ${reference(layer, unit)}${windowWords(layer)}.`;
}

function windowSentence(layer: LayerForecast, unit: TemperatureUnit): string {
  const { window } = layer.material;
  if (!window) return `${layer.name} states no window.`;
  return `${layer.name} wants ${Math.round(window.leastEquivalentSeconds)} to ${seconds(window.mostEquivalentSeconds)} at ${reference(layer, unit)}.`;
}

function windowWords({ material: { window } }: LayerForecast): string {
  if (!window) return "";
  return ` of ${Math.round(window.leastEquivalentSeconds)} to ${Math.round(window.mostEquivalentSeconds)}`;
}

/** What the bake adds before and after its hold. */
function withoutHold({ addedEquivalentSeconds, material }: LayerForecast, plan: Plan): number {
  return addedEquivalentSeconds - topHoldSeconds(plan) * heatWorkRate(topCelsius(plan), material);
}

function topHoldSeconds(plan: Plan): number {
  return planNumber(plan, "top-hold") ?? 0;
}

function reference({ material: { referenceCelsius } }: LayerForecast, unit: TemperatureUnit): string {
  return unit === "celsius"
    ? `${Math.round(referenceCelsius)} °C`
    : `${Math.round(fahrenheitFromCelsius(referenceCelsius))} °F`;
}

function seconds(value: number): string {
  return `${Math.round(value)} s`;
}
