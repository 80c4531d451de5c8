import { percentText } from "#kiosk-ui/format";
import type { HeatWorkWindow, Outlook } from "#shared/outlook";

/** The sentences beside the heat-work bar. */
export const heatWorkWords = {
  ware: (percent: string) => `ware ${percent}\u00a0%`,
  goingTo: (percent: string) => `→ ${percent}\u00a0%`,
  atTheEnd: "at the end",
  between: (low: string, high: string) => `${low} to ${high}\u00a0%`,
  spokenEnd: (percent: string, low: string, high: string) =>
    `Going on like this it ends at ${percent} %, nine times in ten between ${low} and ${high} %.`,
  spokenWare: (percent: string) => `The ware, as estimated: ${percent} %.`,
  window: (low: string, high: string) => `Right for its layers: ${low} to ${high}\u00a0%.`,
  windowFrom: (low: string) => `Right for its layers: ${low}\u00a0% and more.`,
  windowTo: (high: string) => `Right for its layers: up to ${high}\u00a0%.`,
  setBy: (low: string, high: string) => `${low} sets the lower end, ${high} the upper.`,
  noneFits: (lowLayer: string, low: string, highLayer: string, high: string) =>
    `No heat work suits every layer: ${lowLayer} wants ${low}\u00a0% or more, ${highLayer} ${high}\u00a0% at most.`,
  hadAll: (layer: string) => `${layer} had all that it takes before this bake.`,
  aLayer: "one",
} as const;

/** True where what one layer needs at least is more than another takes. */
export function isImpossible(window: HeatWorkWindow): boolean {
  return window.highLayer !== null && window.lowRatio > window.highRatio;
}

/** The window of the job's layers, as a sentence: "Right for its layers: 82 to 118 %." */
export function windowSentence(window: HeatWorkWindow): string {
  const { lowLayer, highLayer } = window;
  const [low, high] = [percentText(window.lowRatio), percentText(window.highRatio)];
  const { aLayer } = heatWorkWords;
  if (highLayer !== null && window.highRatio === 0) return heatWorkWords.hadAll(highLayer);
  if (isImpossible(window)) return heatWorkWords.noneFits(lowLayer ?? aLayer, low, highLayer ?? aLayer, high);
  if (highLayer === null) return heatWorkWords.windowFrom(low);
  return window.lowRatio === 0 ? heatWorkWords.windowTo(high) : heatWorkWords.window(low, high);
}

/** Which layers set its ends, for readers; empty where one layer sets both. */
export function windowSetters({ lowLayer, highLayer }: HeatWorkWindow): string {
  const areTwo = lowLayer !== null && highLayer !== null && lowLayer !== highLayer;
  return areTwo ? heatWorkWords.setBy(lowLayer, highLayer) : "";
}

/** Where a bake will end, for readers. */
export function spokenEnd({ ratio, lowRatio, highRatio }: Outlook["asGoing"]): string {
  return heatWorkWords.spokenEnd(percentText(ratio), percentText(lowRatio), percentText(highRatio));
}
