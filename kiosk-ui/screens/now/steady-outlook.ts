import { outlookSentence } from "#core/compare/outlook-words";
import type { Outlook } from "#shared/outlook";

/** A change of the heat work at the end, or of an end of its interval, that is worth another number. */
const NOTICEABLE = { fraction: 0.015, intervalFraction: 0.03 };

/** A hold that differs by less is the same advice, s. */
const NOTICEABLE_SECONDS = 2.5;

/** What an outlook says has to last before it is said, s of the bake, so that no sentence comes and goes. */
const SETTLED_AFTER_SECONDS = 6;

/** An outlook that stands still where only its last digit moves, and since when it has had something to say. */
export interface SteadyOutlook {
  readonly shown: Outlook;
  /** Of the bake; null while it has nothing to say. */
  readonly speaksSinceSeconds: number | null;
  readonly isSaid: boolean;
}

/**
 * What is shown after another outlook: numbers stay while they are nearly the same, and a sentence begins once
 * it has lasted. It ends at once, so that nothing old is advised.
 * @param before null at the beginning of a bake
 * @param atSeconds of the bake's newest sample
 */
export function steadyOutlook(
  before: SteadyOutlook | null,
  next: Outlook | null,
  atSeconds: number,
): SteadyOutlook | null {
  if (!next) return null;
  const shown = before && isNearly(before.shown, next) ? { ...before.shown, peak: next.peak } : next;
  if (outlookSentence(shown, "celsius") === null) return { shown, speaksSinceSeconds: null, isSaid: false };
  const isSameKind = before !== null && hasHold(before.shown) === hasHold(shown);
  const speaksSinceSeconds = (isSameKind ? before.speaksSinceSeconds : null) ?? atSeconds;
  return { shown, speaksSinceSeconds, isSaid: atSeconds - speaksSinceSeconds >= SETTLED_AFTER_SECONDS };
}

function hasHold({ hold }: Outlook): boolean {
  return hold !== null;
}

function isNearly(one: Outlook, other: Outlook): boolean {
  const { asGoing: a, hold: aHold } = one;
  const { asGoing: b, hold: bHold } = other;
  return (
    Math.abs(a.ratio - b.ratio) < NOTICEABLE.fraction &&
    Math.abs(a.lowRatio - b.lowRatio) < NOTICEABLE.intervalFraction &&
    Math.abs(a.highRatio - b.highRatio) < NOTICEABLE.intervalFraction &&
    hasHold(one) === hasHold(other) &&
    one.learnedFromBakes === other.learnedFromBakes &&
    aHold?.index === bHold?.index &&
    Math.abs((aHold?.neededSeconds ?? 0) - (bHold?.neededSeconds ?? 0)) < NOTICEABLE_SECONDS
  );
}
