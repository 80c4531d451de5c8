import type { PlanWorth } from "#core/plan/adaptation-effects";
import { equivalentSecondsText } from "#kiosk-ui/components/equivalent-seconds-text";
import { durationText, numberText, signedText } from "#kiosk-ui/format";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";

const words = plansWords.worth;

/** One kind of worth before and after, with what the change amounts to. */
export interface WorthRow {
  readonly name: string;
  /** The name where the one before has said what it is of. */
  readonly briefName: string;
  readonly before: string;
  readonly after: string;
  readonly change: string;
}

const MICROMETRES_PER_MILLIMETRE = 1000;
const ROUND_PERCENT = 10;

/** Heat work of chamber and ware, flow length and length of a plan, before and after a change; what is not known is left out. */
export function worthRows(before: PlanWorth, after: PlanWorth): WorthRow[] {
  const row = (name: string, was: number | null, is: number | null, text: (value: number) => string) =>
    was === null || is === null
      ? []
      : [
          {
            name,
            briefName: name === words.ware ? words.wareBrief : name,
            before: text(was),
            after: text(is),
            change: percentChangeText(was, is),
          },
        ];
  return [
    ...row(
      words.chamber,
      before.chamberEquivalentSeconds,
      after.chamberEquivalentSeconds,
      equivalentSecondsText,
    ),
    ...row(words.ware, before.wareEquivalentSeconds, after.wareEquivalentSeconds, equivalentSecondsText),
    ...row(words.flow, before.flowLengthMicrometres, after.flowLengthMicrometres, flowLengthText),
    {
      name: words.length,
      briefName: words.length,
      before: durationText(before.lengthSeconds),
      after: durationText(after.lengthSeconds),
      change: lengthChangeText(before.lengthSeconds, after.lengthSeconds),
    },
  ];
}

/** The same in one line: "heat work, chamber −31 %, ware −26 %, flow length −33 %, length 2:03 longer". */
export function worthChangeText(before: PlanWorth, after: PlanWorth): string {
  return worthRows(before, after)
    .map(({ briefName, change }) => `${briefName} ${change}`)
    .join(", ");
}

/**
 * How much more or less, as a percentage of what was.
 * @example percentChangeText(80, 60) // "−25 %"
 */
export function percentChangeText(before: number, after: number): string {
  if (!(before > 0)) return words.unknown;
  const percent = (after / before - 1) * 100;
  const text = signedText(percent, Math.abs(percent) < ROUND_PERCENT ? 1 : 0);
  return Number(text.replace("−", "-")) === 0 ? words.same : `${text}\u00a0%`;
}

/** How much longer or shorter, in minutes and seconds. */
export function lengthChangeText(beforeSeconds: number, afterSeconds: number): string {
  const by = Math.round(afterSeconds - beforeSeconds);
  if (by === 0) return words.same;
  return (by > 0 ? words.longer : words.shorter)(durationText(Math.abs(by)));
}

/** A flow length: micrometres to a millimetre, then millimetres. */
export function flowLengthText(micrometres: number): string {
  if (micrometres < MICROMETRES_PER_MILLIMETRE)
    return `${numberText(micrometres, micrometres < 10 ? 1 : 0)}\u00a0µm`;
  const millimetres = micrometres / MICROMETRES_PER_MILLIMETRE;
  return `${numberText(millimetres, millimetres < 10 ? 2 : 0)}\u00a0mm`;
}
