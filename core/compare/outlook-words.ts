import type { Outlook } from "#core/compare/outlook";

/** What an outlook has to say: one line, what it rests on, and whether a person could do something about it. */
export interface OutlookSentence {
  readonly text: string;
  readonly detail: string;
  readonly needsPerson: boolean;
}

/** Nearer to the plan than this is nothing to speak of. */
const WORTH_SAYING_FRACTION = 0.05;

/**
 * Where a bake is going, as one line that a person can act on; null when there is nothing to say.
 * It advises only: the technician and the furnace act.
 * @param unit of temperatures
 */
export function outlookSentence(
  { asGoing, hold, learnedFromBakes }: Outlook,
  _unit: "celsius" | "fahrenheit",
): OutlookSentence | null {
  const { ratio, lowRatio, highRatio } = asGoing;
  const isSure = lowRatio > 1 || highRatio < 1;
  if (!isSure || Math.abs(ratio - 1) < WORTH_SAYING_FRACTION) return null;
  const percent = (share: number) => Math.round(100 * share);
  const ending = `Going on like this it ends with ${percent(ratio)} % of the planned heat work`;
  const detail = `Between ${percent(lowRatio)} and ${percent(highRatio)} %, nine times in ten, by ${learnedFromBakes} earlier bakes.`;
  if (!hold) return { text: `${ending}.`, detail, needsPerson: false };
  const seconds = `${Math.round(hold.neededSeconds)} s instead of ${Math.round(hold.plannedSeconds)} s`;
  return { text: `Hold ${seconds} would make up for it.`, detail: `${ending}. ${detail}`, needsPerson: true };
}
