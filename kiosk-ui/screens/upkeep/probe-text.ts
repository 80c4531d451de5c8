import { differenceInUnit, differenceSign, signedText, type TemperatureUnit } from "#kiosk-ui/format";
import { upkeepWords as words } from "#kiosk-ui/screens/upkeep/upkeep-words";
import type { Check } from "#shared/check";
import type { Probe } from "#shared/probe";

const DAY_MILLISECONDS = 86_400_000;
/** Longer ago than this is said in months, days. */
const MONTHS_AFTER_DAYS = 90;
const DAYS_PER_MONTH = 30.44;

/**
 * A difference with its sign and unit.
 * @example signedDifference(2.14, "celsius") // "+2.1 K"
 */
export function signedDifference(kelvin: number, unit: TemperatureUnit, decimals = 1): string {
  return `${signedText(differenceInUnit(kelvin, unit), decimals)}\u00a0${differenceSign(unit)}`;
}

/** The wall clock by whole minutes, ms: what is told of days is not drawn anew with every reading. */
export function minuteNow(): number {
  return Math.floor(Date.now() / 60_000) * 60_000;
}

/** Whole days by the calendar of this machine from one moment to another; negative when it lies before. */
export function daysBetween(fromEpochMilliseconds: number, toEpochMilliseconds: number): number {
  const midnight = (epochMilliseconds: number) => new Date(epochMilliseconds).setHours(0, 0, 0, 0);
  return Math.round((midnight(toEpochMilliseconds) - midnight(fromEpochMilliseconds)) / DAY_MILLISECONDS);
}

/** How long ago by the calendar: "today", "13 days ago", "5 months ago". */
export function daysAgoText(epochMilliseconds: number, nowEpochMilliseconds: number): string {
  const days = daysBetween(epochMilliseconds, nowEpochMilliseconds);
  if (days <= 0) return words.day.today;
  if (days === 1) return words.day.yesterday;
  if (days <= MONTHS_AFTER_DAYS) return words.day.ago(days);
  return words.day.monthsAgo(Math.round(days / DAYS_PER_MONTH));
}

/** The day of a check: "12 Nov", with the year when it is not this one's. */
export function checkDayText(epochMilliseconds: number, nowEpochMilliseconds: number): string {
  const date = new Date(epochMilliseconds);
  const isThisYear = date.getFullYear() === new Date(nowEpochMilliseconds).getFullYear();
  return date.toLocaleDateString("en-GB", {
    day: "numeric",
    month: "short",
    ...(isThisYear ? {} : { year: "numeric" }),
  });
}

/** A check by its kind: "silver wire", "reference, 3 points". */
export function checkName({ request }: Pick<Check, "request">): string {
  return request.kind === "melting-wire"
    ? words.kinds.wire(words.metalNames[request.metal])
    : words.kinds.reference(request.points.length);
}

/** Type and class: "type S, IEC class 2". */
export function probeKindText({ type, toleranceClass }: Probe): string {
  const letter = type === null ? words.probe.typeUnknown : words.probe.type(type);
  if (type === null && toleranceClass === null) return letter;
  return `${letter}, ${toleranceClass === null ? words.probe.classUnknown : words.probe.classes[toleranceClass]}`;
}

/** What its reading rests on: the check that corrects it, with its age, or its class when new. */
export function probeBasisText(
  probe: Probe,
  checks: readonly Check[],
  nowEpochMilliseconds: number,
  unit: TemperatureUnit,
): string {
  const { correction } = probe;
  if (correction) {
    const { points } = correction;
    const since = correctionSinceText(correction, checks, nowEpochMilliseconds);
    return points.length === 1
      ? words.probe.correctedBy(signedDifference(points[0]?.correctionKelvin ?? 0, unit), since)
      : words.probe.correctedAt(points.length, since);
  }
  const newest = checks[0];
  if (newest)
    return words.probe.notAccepted(
      checkName(newest),
      daysAgoText(newest.checkedAtEpochMilliseconds, nowEpochMilliseconds),
    );
  return probe.toleranceClass === null ? words.probe.noCheckNoClass : words.probe.noCheck;
}

/** The check that a correction came from, with its day and age; its acceptance where the check is not known. */
export function correctionSinceText(
  { checkId, acceptedAtEpochMilliseconds }: NonNullable<Probe["correction"]>,
  checks: readonly Check[],
  nowEpochMilliseconds: number,
): string {
  const check = checks.find(({ id }) => id === checkId);
  const at = check?.checkedAtEpochMilliseconds ?? acceptedAtEpochMilliseconds;
  const day = checkDayText(at, nowEpochMilliseconds);
  const ago = daysAgoText(at, nowEpochMilliseconds);
  return check ? words.probe.theCheck(checkName(check), day, ago) : words.probe.acceptance(day, ago);
}

/** When the next check is due, in words; overdue is for a person. */
export interface DueStatement {
  readonly text: string;
  readonly isOverdue: boolean;
}

/** The due date as a statement. */
export function dueStatement(
  dueEpochMilliseconds: number | null,
  nowEpochMilliseconds: number,
): DueStatement {
  if (dueEpochMilliseconds === null) return { text: words.due.none, isOverdue: false };
  const days = daysBetween(nowEpochMilliseconds, dueEpochMilliseconds);
  const day = checkDayText(dueEpochMilliseconds, nowEpochMilliseconds);
  if (days < 0) return { text: words.due.overdue(-days, day), isOverdue: true };
  if (days === 0) return { text: words.due.today, isOverdue: false };
  const when = days === 1 ? words.day.tomorrow : words.day.in(days);
  return { text: words.due.on(day, when), isOverdue: false };
}
