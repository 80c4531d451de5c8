import { html, nothing, type TemplateResult } from "lit";
import type { CheckOutcome } from "#core/upkeep/accuracy-check";
import { differenceWithUnit, numberText, type TemperatureUnit } from "#kiosk-ui/format";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";

const words = checkWords.result;

/** What an outcome is told by. */
type Told = Pick<
  CheckOutcome,
  "worstDifferenceKelvin" | "expandedUncertaintyKelvin" | "coverageFactor" | "limitKelvin" | "verdict"
>;

/** How far off the probe reads, in one sentence: "The probe reads 1.1 K too high". */
export function differenceSentence(kelvin: number, unit: TemperatureUnit): string {
  if (Math.abs(kelvin) < 0.05) return words.right;
  const amount = differenceWithUnit(kelvin, unit, 1);
  return kelvin > 0 ? words.high(amount) : words.low(amount);
}

/**
 * An outcome before anything else: how far off, how sure, and the verdict; outside is for a person.
 * @param isDecided true where it corrects the probe already, so that nothing is left to be said of that
 */
export function outcomeTemplate(told: Told, unit: TemperatureUnit, isDecided = false): TemplateResult {
  const limit = differenceWithUnit(told.limitKelvin, unit, 1);
  const sure = words.sure(
    differenceWithUnit(told.expandedUncertaintyKelvin, unit, 1),
    numberText(told.coverageFactor),
  );
  return html`<div class="outcome stack">
    <p><span class="sentence">${differenceSentence(told.worstDifferenceKelvin, unit)}</span> <span class="soft">${sure}</span></p>
    <p class=${told.verdict === "within" ? "" : "needs"}>
      <strong>${words.verdicts[told.verdict](limit)}</strong> ${isDecided ? nothing : words.verdictDetail[told.verdict]}
    </p>
  </div>`;
}
