import type { BudgetLine, ProbeBudget, ProbeQuantity } from "#core/thermocouple/uncertainty";
import { differenceWithUnit, numberText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { correctionSinceText } from "#kiosk-ui/screens/upkeep/probe-text";
import type { Check } from "#shared/check";
import type { Probe } from "#shared/probe";

const words = checkWords.table;

/** One line of a budget in words. */
export interface UncertaintyRow {
  readonly quantity: string;
  readonly given: string;
  readonly distribution: string;
  readonly divisor: string;
  readonly standard: string;
  readonly sensitivity: string;
  readonly contribution: string;
}

/** The lines of a budget as a table says them. */
export function uncertaintyRows(budget: ProbeBudget, unit: TemperatureUnit): UncertaintyRow[] {
  return budget.lines.map((line) => {
    const given = differenceWithUnit(line.given, unit, 2);
    const { coverageFactor } = line;
    return {
      quantity: words.quantities[line.quantity],
      given:
        line.distribution === "normal" && coverageFactor !== undefined
          ? `± ${words.asExpanded(given, factorText(coverageFactor))}`
          : `± ${given}`,
      distribution: words.distributions[line.distribution],
      divisor: divisorText(line),
      standard: differenceWithUnit(line.standardUncertainty, unit, 2),
      sensitivity: numberText(line.sensitivity, 2),
      contribution: differenceWithUnit(line.contribution, unit, 2),
    };
  });
}

/** What a budget rests on, in one sentence. */
export function basisText(
  { basis }: ProbeBudget,
  probe: Probe,
  checks: readonly Check[],
  nowEpochMilliseconds: number,
): string {
  if (basis !== "check" || !probe.correction) return basis === "class" ? words.basis.class : words.basis.none;
  return words.basis.check(correctionSinceText(probe.correction, checks, nowEpochMilliseconds));
}

/** What nobody said, in one sentence; empty when everything was. */
export function missingText({ missing, celsius }: ProbeBudget, probe: Probe, unit: TemperatureUnit): string {
  if (missing.length === 0) return "";
  const names = missing.map((quantity: ProbeQuantity) => words.quantities[quantity].toLowerCase()).join("; ");
  const isBeyond =
    missing.includes("probe-tolerance") && probe.type !== null && probe.toleranceClass !== null;
  const beyond = isBeyond ? `${words.beyondClass(temperatureWithUnit(celsius, unit))} ` : "";
  return `${beyond}${words.missing(names)}`;
}

/** "2", or "2.13" where it is no whole number. */
function factorText(factor: number): string {
  return numberText(factor, Number.isInteger(factor) ? 0 : 2);
}

function divisorText({ distribution, coverageFactor = 1 }: BudgetLine): string {
  switch (distribution) {
    case "normal":
      return factorText(coverageFactor);
    case "rectangular":
      return "√3";
    case "triangular":
      return "√6";
  }
}
