import { describe, expect, it } from "vitest";
import { outlook } from "#core/compare/outlook";
import { legs, topCelsius } from "#core/plan/plan";
import { judged, type SimulatedLab, simulatedLab } from "#tests/helpers/simulated-lab";

/**
 * Seeds that nothing was chosen by: the constants of the outlook were chosen on seeds below 1,000. After each change
 * of the outlook these are others that nobody has looked at.
 */
const FIRST_SEED = 130_001;
const FURNACES = 300;
const LONGEST_HOLD_SECONDS = 300;

/** Of these the hold that is said is followed: that takes several more bakes for each. */
const FOLLOWED = 120;

const labs = Array.from({ length: FURNACES }, (_, index) => simulatedLab(FIRST_SEED + index));

describe(`the outlook at the start of the top hold, on ${FURNACES} simulated furnaces`, () => {
  const predictions = labs.flatMap((lab) => predictionAtHoldStart(lab));
  const errors = predictions.map(({ error }) => error).sort((a, b) => a - b);
  const held = predictions.filter(({ isInInterval }) => isInInterval).length / predictions.length;

  it("has nearly all of them", () => {
    expect(predictions.length).toBeGreaterThan(0.95 * FURNACES);
  });

  it("has the heat work of the whole bake within 3 % in the median", () => {
    const figures = [0.5, 0.9, 1].map((share) => `${(100 * at(errors, share)).toFixed(1)} %`);
    console.log(`heat work at the end: off by ${figures.join(", ")} (median, 9 in 10, worst)`);
    expect(at(errors, 0.5)).toBeLessThanOrEqual(0.03);
  });

  it("has an interval that holds 85 to 95 of 100", () => {
    console.log(`its 90 % interval held ${(100 * held).toFixed(1)} % of ${predictions.length}`);
    expect(held).toBeGreaterThanOrEqual(0.85);
    expect(held).toBeLessThanOrEqual(0.95);
  });
});

describe("the hold that the outlook says, followed to its end", () => {
  const followed = labs.slice(0, FOLLOWED).flatMap((lab) => ratioWhenFollowed(lab));
  const plain = labs
    .slice(0, FOLLOWED)
    .map((lab) => judged(lab.plan, lab.bake(null).samples, true).heatWork.ratio ?? 0);

  it("brings the heat work to within 2 % of the plan's in the median, and much nearer than without", () => {
    const off = followed.map((ratio) => Math.abs(ratio - 1)).sort((a, b) => a - b);
    const without = plain.map((ratio) => Math.abs(ratio - 1)).sort((a, b) => a - b);
    const within = off.filter((error) => error <= 0.02).length / off.length;
    console.log(
      `followed on ${off.length} of ${FOLLOWED}: ${(100 * within).toFixed(0)} % within 2 %; off by ` +
        `${(100 * at(off, 0.5)).toFixed(1)} % (9 in 10: ${(100 * at(off, 0.9)).toFixed(1)} %), ` +
        `without by ${(100 * at(without, 0.5)).toFixed(1)} % (${(100 * at(without, 0.9)).toFixed(1)} %)`,
    );
    expect(off.length).toBeGreaterThan(0.4 * FOLLOWED);
    expect(at(off, 0.5)).toBeLessThanOrEqual(0.02);
    expect(at(off, 0.9)).toBeLessThan(0.3 * at(without, 0.9));
  });
});

/** What was said when the hold began, beside what came. */
function predictionAtHoldStart({ plan, earlier, bake }: SimulatedLab) {
  const { samples } = bake(null);
  const whole = judged(plan, samples, true);
  const ratio = whole.heatWork.ratio;
  const hold = whole.holds[topHold(plan)]?.actual;
  if (!hold || ratio === null) return [];
  const trace = samples.slice(0, samples.findIndex(({ atSeconds }) => atSeconds >= hold.startSeconds) + 1);
  const said = outlook(plan, trace, judged(plan, trace, false), earlier);
  if (!said) return [];
  const { asGoing } = said;
  return [
    {
      error: Math.abs(asGoing.ratio / ratio - 1),
      isInInterval: ratio >= asGoing.lowRatio && ratio <= asGoing.highRatio,
    },
  ];
}

/**
 * Somebody looks again and again while the furnace counts its hold, and ends it when the furnace's count is what
 * the outlook says. Empty where no hold would do, or the outlook is not sure
 * of one, at the beginning or later.
 */
function ratioWhenFollowed({ plan, earlier, bake }: SimulatedLab): number[] {
  const { samples, events } = bake(LONGEST_HOLD_SECONDS);
  const countedFrom = events.holdCountedFromSeconds[topHold(plan)] ?? Number.NaN;
  let atSeconds = events.holdReachedSeconds[topHold(plan)] ?? Number.NaN;
  for (;;) {
    const trace = samples.slice(0, samples.findIndex((sample) => sample.atSeconds >= atSeconds) + 1);
    const needed = outlook(plan, trace, judged(plan, trace, false), earlier)?.hold?.neededSeconds;
    if (needed === undefined || needed > LONGEST_HOLD_SECONDS) return [];
    const leftSeconds = countedFrom + needed - atSeconds;
    if (leftSeconds <= 1)
      return [judged(plan, bake(Math.max(0, needed)).samples, true).heatWork.ratio ?? Number.NaN];
    atSeconds += Math.max(1, leftSeconds / 2);
  }
}

function topHold(plan: SimulatedLab["plan"]): number {
  return legs(plan).findLastIndex((leg) => leg.toCelsius === topCelsius(plan));
}

function at(sorted: readonly number[], share: number): number {
  return sorted[Math.floor(share * (sorted.length - 1))] ?? Number.NaN;
}
