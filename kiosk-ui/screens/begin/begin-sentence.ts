import type { PlanFinding } from "#core/plan/findings";
import { caseText } from "#kiosk-ui/components/case-text";
import { keptTogether } from "#kiosk-ui/format";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import type { FittedCard } from "#kiosk-ui/screens/begin/fitted-card";
import type { JobLookUpState } from "#kiosk-ui/screens/begin/job-look-up";
import type { BakeCase } from "#shared/bake-case";

/** The sentence at the bottom, with why or what to do. */
export interface BeginSentence {
  readonly text: string;
  readonly detail: string;
  /** True when somebody should look before going on. */
  readonly needsPerson: boolean;
}

/** What is known while it is said what goes in. */
export interface CaseKnown {
  readonly job: string;
  readonly isJobFit: boolean;
  readonly isScanned: boolean;
  readonly lookUp: JobLookUpState;
  /** Null while a part is missing. */
  readonly case: BakeCase | null;
}

/** A card that somebody changed while its numbers were looked at, where nothing worse is to be said of it. */
export function changedSentence(said: BeginSentence, revision: number): BeginSentence {
  if (said.needsPerson) return said;
  return { text: beginWords.cardChanged(revision), detail: beginWords.cardChangedDetail, needsPerson: true };
}

/** Beside what goes in: what is known of the job, then what the plan is fitted to. */
export function caseSentence({ job, isJobFit, isScanned, lookUp, case: bakeCase }: CaseKnown): BeginSentence {
  const detail = bakeCase ? beginWords.isFitted(caseText(bakeCase)) : beginWords.orWithout;
  if (!isJobFit) return { text: beginWords.jobRefused, detail: "", needsPerson: true };
  switch (lookUp.kind) {
    case "none":
      return {
        text: isScanned ? beginWords.scanned(job) : beginWords.whatGoesIn,
        detail,
        needsPerson: false,
      };
    case "looking":
      return { text: beginWords.lookingUp(lookUp.jobNumber), detail, needsPerson: false };
    case "failed":
      return { text: beginWords.notLookedUp(lookUp.jobNumber), detail: lookUp.message, needsPerson: false };
    case "found":
      return { text: jobText(lookUp.jobNumber, lookUp.history.bakeCount), detail, needsPerson: false };
  }
}

function jobText(job: string, bakeCount: number): string {
  return bakeCount === 0 ? beginWords.newJob(job) : beginWords.knownJob(job, bakeCount);
}

/**
 * Beside the plan: what refuses it, then a layer that it would overfire, then what else is wrong with it, worst
 * first, then a layer that it would leave short; else what to do with it.
 * @param isRunning true where the furnace runs it already, so that nothing can be set any more
 */
export function planSentence(fitted: FittedCard | null, isRunning = false): BeginSentence {
  const next = isRunning ? beginWords.runsNumbers : beginWords.setNumbers;
  if (!fitted) return { text: beginWords.noPlans, detail: beginWords.noPlansHelp, needsPerson: false };
  if (!fitted.ok)
    return { text: beginWords.noPlanForCase, detail: beginWords.noPlanForCaseDetail, needsPerson: true };
  const refusing = fitted.findings.find(({ refuses }) => refuses);
  if (refusing) return findingSentence(refusing, beginWords.noPlanForCaseDetail);
  const excess = layerSentence(fitted, "excess", next);
  if (excess) return excess;
  const [worst] = fitted.findings;
  if (worst) return findingSentence(worst, next);
  const good = { text: next, detail: beginWords.setNumbersDetail, needsPerson: false };
  return layerSentence(fitted, "short", next) ?? good;
}

function findingSentence({ sentence }: PlanFinding, next: string): BeginSentence {
  const [what = "", ...mend] = sentence.split(": ");
  return {
    text: asSentence(what),
    detail: [...mend.map(asSentence), next].join(" "),
    needsPerson: true,
  };
}

/** A layer that would leave its window on one side; null where none would. */
function layerSentence(
  { forecasts, sentences }: Extract<FittedCard, { ok: true }>,
  side: "excess" | "short",
  next: string,
): BeginSentence | null {
  const outside = forecasts.find(({ sideAfter }) => sideAfter === side);
  if (!outside) return null;
  const why = sentences[1] ?? sentences[0] ?? "";
  return {
    text: beginWords.layerOutside[side](outside.name),
    detail: `${why} ${next}`.trim(),
    needsPerson: true,
  };
}

/**
 * What core says of a plan begins in the middle of a line; here it stands alone.
 * @example asSentence("no drying time") // "No drying time."
 */
export function asSentence(finding: string): string {
  return keptTogether(`${finding.charAt(0).toUpperCase()}${finding.slice(1)}.`);
}
