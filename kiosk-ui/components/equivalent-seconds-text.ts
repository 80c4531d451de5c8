import { countText, numberText } from "#kiosk-ui/format";

/**
 * Heat work in seconds at its reference: one decimal below ten.
 * @example equivalentSecondsText(2.34) // "2.3\u00a0s"
 */
export function equivalentSecondsText(seconds: number): string {
  return `${seconds < 10 ? numberText(seconds, 1) : countText(Math.round(seconds))}\u00a0s`;
}
