import { findingSentence } from "#core/compare/finding-words";
import { legs, type Plan } from "#core/plan/plan";
import { faultSentence, firstLook } from "#core/thermocouple/fault-words";
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
 * The one sentence about a running bake: silence first, then a fault of its thermocouple, then the finding that
 * a person should look at, else what is happening.
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
  const happening = stageSentence(plan, progress, unit);
  const pressing = (bake.comparison?.findings ?? []).filter((finding) => finding.needsPerson);
  const [first, ...others] = pressing;
  const isHot = progress.stage.kind === "cooling" || progress.stage.kind === "done";
  if (!first)
    return {
      text: happening,
      detail: isHot ? words.hotSurface.text : said.noFindings,
      needsPerson: false,
      isHot,
    };
  const more = others.length > 0 ? ` ${said.others(others.length)}` : "";
  return {
    text: liveFindingSentence(first, progress.stage, unit),
    detail: `${happening}${more}`,
    needsPerson: true,
    isHot,
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
