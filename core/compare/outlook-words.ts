import type { TemperatureUnit } from "#core/compare/finding-words";
import type { Outlook } from "#core/compare/outlook";
import { fahrenheitFromCelsius } from "#core/units";

/** What an outlook has to say: one line, what it rests on, and whether a person could do something about it. */
export interface OutlookSentence {
  readonly text: string;
  readonly detail: string;
  readonly needsPerson: boolean;
}

/** Nearer to the plan than this is nothing to speak of. */
const WORTH_SAYING_FRACTION = 0.05;

/** Farther than this somebody may want to act: the window of a bake that nobody gave one. */
const WORTH_ACTING_FRACTION = 0.1;

/** Without an advice a wider interval is nothing to go by: its ends as a share of each other. */
const MOST_DOUBT_FRACTION = 1.2;

/** A hold that differs by less is nothing that anybody could set, s. */
const WORTH_CHANGING_SECONDS = 4;

/** A peak that comes sooner has come before anybody has read of it, s. */
const SOON_SECONDS = 8;

/**
 * Where a bake is going, as one line that a person can act on; null when there is nothing to say: when its
 * interval holds the plan, the difference is small, or it is too unsure to name a hold. It advises only: the technician and the furnace act.
 * @param unit of temperatures
 * @example outlookSentence({ peak: null, asPlannedRatio: 1, asGoing: { ratio: 1.18, lowRatio: 1.12, highRatio: 1.24 }, hold: { index: 1, plannedSeconds: 60, neededSeconds: 43.6 }, learnedFromBakes: 5 }, "celsius")?.text // "A hold of 44 s instead of 60 s would give the planned heat work."
 */
export function outlookSentence(outlook: Outlook, unit: TemperatureUnit): OutlookSentence | null {
  const { ratio, lowRatio, highRatio } = outlook.asGoing;
  const isSure = lowRatio > 1 || highRatio < 1;
  if (!isSure || Math.abs(ratio - 1) < WORTH_SAYING_FRACTION) return null;
  const needsPerson = Math.abs(ratio - 1) >= WORTH_ACTING_FRACTION;
  const advice = adviceOf(outlook);
  if (advice === null && highRatio > MOST_DOUBT_FRACTION * lowRatio) return null;
  const going = `As it goes, ${percent(ratio)}`;
  return advice === null
    ? {
        text: `${going} of the planned heat work.`,
        detail: `Between ${percent(lowRatio)} and ${percent(highRatio)}. ${restsOn(outlook)}`,
        needsPerson,
      }
    : { text: advice, detail: `${going}${peakWords(outlook, unit)}. ${restsOn(outlook)}`, needsPerson };
}

function adviceOf({ asGoing, hold }: Outlook): string | null {
  if (!hold || Math.abs(hold.neededSeconds - hold.plannedSeconds) < WORTH_CHANGING_SECONDS) return null;
  const needed = Math.round(hold.neededSeconds);
  const which = hold.index > 1 ? ` at hold ${hold.index}` : "";
  if (needed === 0 && asGoing.ratio > 1)
    return `Without hold ${hold.index} it would be the planned heat work.`;
  return `A hold of ${needed} s instead of ${Math.round(hold.plannedSeconds)} s${which} would give the planned heat work.`;
}

function peakWords({ peak }: Outlook, unit: TemperatureUnit): string {
  if (!peak || peak.inSeconds < SOON_SECONDS) return "";
  const degrees =
    unit === "fahrenheit"
      ? `${Math.round(fahrenheitFromCelsius(peak.celsius))} °F`
      : `${Math.round(peak.celsius)} °C`;
  return `, peak about ${degrees}`;
}

function restsOn({ learnedFromBakes }: Outlook): string {
  if (learnedFromBakes === 0) return "Reckoned from the plan alone: no earlier bake is a guide.";
  return `Reckoned from ${learnedFromBakes === 1 ? "one earlier bake" : `${learnedFromBakes} earlier bakes`}.`;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}
