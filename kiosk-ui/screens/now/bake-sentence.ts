import { findingSentence } from "#core/compare/finding-words";
import { outlookSentence } from "#core/compare/outlook-words";
import { legs, type Plan } from "#core/plan/plan";
import { faultSentence, firstLook } from "#core/thermocouple/fault-words";
import { heatWorkSide } from "#kiosk-ui/components/kiosk-heat-work-bar";
import { pressingFaults } from "#kiosk-ui/components/reading-trust";
import { thermocoupleWords } from "#kiosk-ui/components/thermocouple-words";
import { ageText, durationText, rateText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { type BakeInView, STALE_AFTER_SECONDS } from "#kiosk-ui/kiosk-state";
import { type BakeProgress, bakeProgress } from "#kiosk-ui/screens/now/bake-progress";
import { words } from "#kiosk-ui/words";
import type { Finding, Stage } from "#shared/comparison";
import type { SensorFault } from "#shared/sensor-fault";

/** What is said at the bottom of a running bake. */
export interface BakeSentence {
  readonly text: string;
  readonly detail: string;
  readonly needsPerson: boolean;
  /** True while the muffle opens or stands open over hot ware. */
  readonly isHot?: boolean;
}

/**
 * The one sentence about a running bake: silence first, then a fault of its thermocouple, then what needs a
 * person, then where it is going, else what is happening.
 * @param faults of its thermocouple; none where the line is silent, so that nobody knows
 */
export function bakeSentence(
  bake: BakeInView,
  unit: TemperatureUnit,
  ageSeconds: number | null,
  hearsDaemon: boolean,
  faults: readonly SensorFault[] = [],
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
  if (!plan) return { text: said.withoutPlan, detail: said.withoutPlanDetail, needsPerson: true };
  const progress = bakeProgress(plan, bake.samples, bake.comparison);
  const isHot = progress.stage.kind === "cooling" || progress.stage.kind === "done";
  const happening: BakeSentence = {
    text: stageSentence(plan, progress, unit),
    detail: isHot ? words.hotSurface.text : said.noFindings,
    needsPerson: false,
  };
  const outlook = outlookOf(bake, unit);
  const pressing = (bake.comparison?.findings ?? []).filter((finding) => finding.needsPerson);
  return { ...sayFirst(pressing, outlook, happening, progress.stage, unit), isHot };
}

/** Where it is going; nobody is needed where every layer comes out right, however it goes. */
function outlookOf({ outlook, window }: BakeInView, unit: TemperatureUnit): BakeSentence | null {
  const said = outlook && outlookSentence(outlook, unit);
  if (!said || !window) return said;
  const isSurelyRight = [outlook.asGoing.lowRatio, outlook.asGoing.highRatio].every(
    (ratio) => heatWorkSide(ratio, window) === "right",
  );
  return { ...said, needsPerson: said.needsPerson && !isSurelyRight };
}

/**
 * What needs a person, with the reason beside it: a finding that the advice makes up for is that reason, one
 * that no hold can mend stands before the advice.
 */
function sayFirst(
  pressing: readonly Finding[],
  outlook: BakeSentence | null,
  happening: BakeSentence,
  stage: Stage,
  unit: TemperatureUnit,
): BakeSentence {
  const [first, ...others] = pressing;
  if (!first) return outlook ?? happening;
  const more = others.length > 0 ? ` ${words.sentence.others(others.length)}` : "";
  const finding = liveFindingSentence(first, stage, unit);
  const isMadeUpFor = outlook?.needsPerson === true && first.heatWorkEffectFraction !== 0;
  return isMadeUpFor
    ? { text: outlook.text, detail: `${finding}${more}`, needsPerson: true }
    : { text: finding, detail: `${(outlook ?? happening).text}${more}`, needsPerson: true };
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
  const { stage, toClimbSeconds, holdLeftSeconds } = progress;
  const leg = legs(plan)[stage.index - 1];
  const goal = temperatureWithUnit(leg?.toCelsius ?? plan.lowCelsius, unit);
  switch (stage.kind) {
    case "drying":
      return toClimbSeconds > 0 ? said.drying(durationText(toClimbSeconds)) : said.dryingOver;
    case "climb":
      return said.climb(goal, rateText(leg?.kelvinPerMinute ?? 0, unit));
    case "hold":
      return (holdLeftSeconds ?? 0) > 0
        ? said.hold(goal, durationText(holdLeftSeconds ?? 0))
        : said.holdOver(goal);
    case "cooling":
      return said.cooling;
    case "done":
      return said.done;
  }
}
