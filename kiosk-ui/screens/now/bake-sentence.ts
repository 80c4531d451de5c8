import { findingSentence } from "#core/compare/finding-words";
import { outlookSentence } from "#core/compare/outlook-words";
import { legs, type Plan } from "#core/plan/plan";
import { faultSentence, firstLook } from "#core/thermocouple/fault-words";
import { heatWorkSide } from "#kiosk-ui/components/kiosk-heat-work-bar";
import { pressingFaults } from "#kiosk-ui/components/reading-trust";
import { thermocoupleWords } from "#kiosk-ui/components/thermocouple-words";
import { ageText, durationText, rateText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { type BakeInView, STALE_AFTER_SECONDS } from "#kiosk-ui/kiosk-state";
import { type BakeProgress, bakeProgress, isCooling } from "#kiosk-ui/screens/now/bake-progress";
import { words } from "#kiosk-ui/words";
import type { Finding, Stage } from "#shared/comparison";
import type { Sample } from "#shared/sample";
import type { SensorFault } from "#shared/sensor-fault";

/** What is said at the bottom of a running bake. */
export interface BakeSentence {
  readonly text: string;
  readonly detail: string;
  readonly needsPerson: boolean;
  /** True while the muffle opens or stands open over hot ware. */
  readonly isHot?: boolean;
  /** The finding that it tells; none where it tells none. */
  readonly finding?: Finding;
}

/** A climb or a drying is told to the next of these, s, so that the sentence does not change with every second. */
const TOLD_TO_SECONDS = 10;

/**
 * The one sentence about a running bake: silence first, then a fault of its thermocouple, then what needs a
 * person, else what is happening, with where it is going beside it.
 * @param faults of its thermocouple; none where the line is silent, so that nobody knows
 * @param isOutlookSaid false while it is not settled what the outlook says
 */
export function bakeSentence(
  bake: BakeInView,
  unit: TemperatureUnit,
  ageSeconds: number | null,
  hearsDaemon: boolean,
  faults: readonly SensorFault[] = [],
  isOutlookSaid = true,
): BakeSentence {
  const said = words.sentence;
  if (!hearsDaemon) return { text: said.disconnected, detail: said.disconnectedDetail, needsPerson: true };
  const fault = faultStatement(faults, unit);
  if (fault) return fault;
  if (ageSeconds === null || ageSeconds > STALE_AFTER_SECONDS)
    return {
      text: ageSeconds === null ? words.reading.none : said.stale(ageText(ageSeconds)),
      detail: said.staleDetail,
      needsPerson: true,
    };
  const plan = bake.plan?.plan;
  if (!plan)
    return {
      text: said.withoutPlan,
      detail: said.withoutPlanDetail,
      needsPerson: true,
      isHot: hasFallen(bake.samples),
    };
  const progress = bakeProgress(plan, bake.samples, bake.comparison);
  const isHot = isCooling(progress);
  const happening: BakeSentence = {
    text: stageSentence(plan, progress, unit),
    detail: isHot ? words.hotSurface.text : said.noFindings,
    needsPerson: false,
  };
  const isRight = isSurelyRight(bake, isHot);
  const isOver = isHot || (progress.holdLeftSeconds ?? 0) < 0;
  const outlook = isOver || !isOutlookSaid ? null : outlookOf(bake, unit, isRight);
  return { ...sayFirst(findingsOf(bake, isRight), outlook, happening, progress.stage, unit), isHot };
}

/** A chamber that is so far below its highest cools, whatever was planned, K. */
const FALLEN_KELVIN = 30;

function hasFallen(samples: readonly Sample[]): boolean {
  const highest = samples.reduce((high, { celsius }) => Math.max(high, celsius), Number.NEGATIVE_INFINITY);
  return highest - (samples.at(-1)?.celsius ?? highest) >= FALLEN_KELVIN;
}

/** Once a hold is over nobody can make up for anything: where it ends is told beside the bar, and by the verdict. */
function outlookOf({ outlook }: BakeInView, unit: TemperatureUnit, isRight: boolean): BakeSentence | null {
  const said = outlook && outlookSentence(outlook, unit);
  return said && { ...said, needsPerson: said.needsPerson && !isRight };
}

/** True where every layer comes out right, however it goes: then nobody is called for heat work. */
function isSurelyRight({ outlook, window, comparison }: BakeInView, isHot: boolean): boolean {
  const delivered = isHot ? (comparison?.heatWork.ratio ?? null) : null;
  const ends = outlook ? [outlook.asGoing.lowRatio, outlook.asGoing.highRatio] : [delivered];
  return window !== null && ends.every((ratio) => ratio !== null && heatWorkSide(ratio, window) === "right");
}

/** The findings that need a person, and among them those that still do where every layer comes out right. */
interface TellingFindings {
  readonly pressing: readonly Finding[];
  readonly harmless: readonly Finding[];
}

function findingsOf({ comparison }: BakeInView, isRight: boolean): TellingFindings {
  const findings = (comparison?.findings ?? []).filter(({ needsPerson }) => needsPerson);
  const isHarmless = ({ heatWorkEffectFraction }: Finding) => isRight && heatWorkEffectFraction !== 0;
  return {
    pressing: findings.filter((finding) => !isHarmless(finding)),
    harmless: findings.filter(isHarmless),
  };
}

/**
 * What needs a person, with the reason beside it: a finding that the advice makes up for is that reason, one
 * that no hold can mend stands before the advice. Where nobody is needed, what is happening stands first.
 */
function sayFirst(
  { pressing, harmless }: TellingFindings,
  outlook: BakeSentence | null,
  happening: BakeSentence,
  stage: Stage,
  unit: TemperatureUnit,
): BakeSentence {
  // its heat work changes with every second, and stands beside the bar
  const told = (finding: Finding) =>
    liveFindingSentence({ ...finding, heatWorkEffectFraction: 0 }, stage, unit);
  const [first, ...others] = pressing;
  if (!first) {
    if (outlook?.needsPerson) return outlook;
    const [finding] = harmless;
    if (outlook) return { ...happening, detail: outlook.text };
    return finding ? { ...happening, detail: told(finding), finding } : happening;
  }
  const more = others.length > 0 ? ` ${words.sentence.others(others.length)}` : "";
  const finding = told(first);
  const beside = happening.detail === words.hotSurface.text ? happening.detail : happening.text;
  const isMadeUpFor = outlook?.needsPerson === true && first.heatWorkEffectFraction !== 0;
  return isMadeUpFor
    ? { text: outlook.text, detail: `${finding}${more}`, needsPerson: true, finding: first }
    : {
        text: finding,
        detail: `${outlook?.text ?? beside}${more}`,
        needsPerson: true,
        finding: first,
      };
}

/** The most telling fault that lasts, and what to look at first; null while there is none. */
export function faultStatement(faults: readonly SensorFault[], unit: TemperatureUnit): BakeSentence | null {
  const [first, ...others] = pressingFaults(faults);
  if (!first) return null;
  const more = others.length > 0 ? ` ${thermocoupleWords.others(others.length)}` : "";
  return {
    text: faultSentence(first, unit),
    detail: `${firstLook(first.kind)}${more}`,
    needsPerson: true,
  };
}

/** A finding while its bake runs: what goes on still is said of now. */
export function liveFindingSentence(finding: Finding, stage: Stage, unit: TemperatureUnit): string {
  const sentence = findingSentence(finding, unit);
  const isUnderWay =
    stage.kind === "cooling" || (stage.kind === "climb" && stage.index === (finding.index ?? 1));
  const isRateOfStage = finding.code.startsWith(`${stage.kind}-`);
  return isUnderWay && isRateOfStage ? sentence.replace(" ran at ", " runs at ") : sentence;
}

/** What the bake is doing, as a sentence. */
export function stageSentence(plan: Plan, progress: BakeProgress, unit: TemperatureUnit): string {
  const said = words.sentence.byStage;
  const { stage, toClimbSeconds } = progress;
  if (isCooling(progress)) return stage.kind === "done" ? said.done : said.cooling;
  const leg = legs(plan)[stage.index - 1];
  const goal = temperatureWithUnit(leg?.toCelsius ?? plan.lowCelsius, unit);
  switch (stage.kind) {
    case "drying":
      return toClimbSeconds > 0
        ? said.drying(durationText(TOLD_TO_SECONDS * Math.ceil(toClimbSeconds / TOLD_TO_SECONDS)))
        : said.dryingOver;
    case "climb":
      return said.climb(goal, rateText(leg?.kelvinPerMinute ?? 0, unit));
    default:
      return (progress.holdLeftSeconds ?? 0) > 0
        ? said.hold(goal, durationText(leg?.holdSeconds ?? 0))
        : said.holdOver(goal);
  }
}
