import type { AdaptationEffects, PlanWorth } from "#core/plan/adaptation-effects";
import { conditionText } from "#kiosk-ui/components/condition-text";
import { durationText, numberText } from "#kiosk-ui/format";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";

/** What an adaptation, or all of them, does to the plan before it. */
export interface EffectRow {
  readonly name: string;
  /** Heat work of the chamber as a factor: "× 0.71". */
  readonly chamber: string;
  /** The same for the ware, estimated; a dash without a case. */
  readonly ware: string;
  readonly length: string;
  /** What it rests on: "common practice, no source"; empty where nobody said. */
  readonly basis: string;
}

/**
 * What the adaptations do to heat work and length, one after the other, then all together: the factors multiply
 * to the last row's. Without an adaptation nothing.
 */
export function effectRows({ base, steps, effective }: AdaptationEffects): EffectRow[] {
  const rows = steps.map(({ when, basis, before, after }) =>
    effectRow(conditionText(when), before, after, basis ?? ""),
  );
  return rows.length > 1 ? [...rows, effectRow(beginWords.inAll, base, effective, "")] : rows;
}

function effectRow(name: string, before: PlanWorth, after: PlanWorth, basis: string): EffectRow {
  return {
    basis,
    name,
    chamber: factorText(before.chamberEquivalentSeconds, after.chamberEquivalentSeconds),
    ware: factorText(before.wareEquivalentSeconds, after.wareEquivalentSeconds),
    length: lengthText(after.lengthSeconds - before.lengthSeconds),
  };
}

function factorText(before: number | null, after: number | null): string {
  if (before === null || after === null || before <= 0) return "–";
  return `×\u00a0${numberText(after / before, 2)}`;
}

function lengthText(seconds: number): string {
  if (Math.round(seconds) === 0) return beginWords.same;
  return seconds > 0 ? beginWords.longer(durationText(seconds)) : beginWords.shorter(durationText(-seconds));
}
