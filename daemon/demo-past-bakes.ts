import { type Comparison, comparison } from "#core/compare/comparison";
import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { gaps } from "#core/trace/trace";
import { type BenchSettings, type PastBake, pastBakes } from "#daemon/bench-process";
import type { Clock } from "#daemon/clock";
import { writeDemoChecks } from "#daemon/demo-checks";
import { DEMO_PROBE, demoFurnace } from "#daemon/demo-furnace";
import { layerBefore } from "#daemon/demo-layers";
import { cardsToBeginWith } from "#daemon/first-plans";
import { fittedPlan } from "#daemon/recording/fitted-plan";
import { openStore, type Store } from "#daemon/store/store";
import type { BakeCase } from "#shared/bake-case";
import { comparisonSchema } from "#shared/comparison";
import type { GradeWord } from "#shared/grade";
import type { BakePlan, PlanRevision } from "#shared/plan";

/** Invented bakes of earlier days in a new demonstration. */
const PAST_BAKES = 8;

/** A piece is looked at when it is cool. */
const MILLISECONDS_UNTIL_GRADED = 12 * 60_000;

/** What was fired in turn, invented: cases for which the demonstration cards fire their base plan. */
const ZIRCONIA: BakeCase = { framework: "zirconia", caseSize: "small", bake: "first" };
const METAL: BakeCase = { ...ZIRCONIA, framework: "metal" };

/** The wall clock of an invented day. */
interface Label {
  epochMilliseconds: number;
}

/**
 * Gives a new demonstration some invented bakes of earlier days, graded, and checks of earlier months; one that has bakes is left as it is.
 * @param path  file of the store, not open yet
 */
export async function writePastBakes(path: string, settings: BenchSettings, clock: Clock): Promise<void> {
  const label: Label = { epochMilliseconds: clock.epochMilliseconds() };
  const store = await openStore(path, { ...clock, epochMilliseconds: () => label.epochMilliseconds });
  try {
    const { total } = await store.bakes.list({ limit: 1, offset: 0 });
    if (total > 0) return;
    const moments = pastMoments(clock.epochMilliseconds(), PAST_BAKES);
    label.epochMilliseconds = moments[0] ?? label.epochMilliseconds;
    const { plans } = await cardsToBeginWith(store);
    const past = await pastBakes(PAST_BAKES, settings);
    for (const [index, bake] of past.entries()) {
      label.epochMilliseconds = moments[index] ?? label.epochMilliseconds;
      const job = jobOf(past, index);
      await writePastBake(store, plans, bake, { ...job, isNewest: index === PAST_BAKES - 1 }, label);
    }
    await writeDemoChecks(store, DEMO_PROBE, clock.epochMilliseconds(), (epochMilliseconds) => {
      label.epochMilliseconds = epochMilliseconds;
    });
  } finally {
    await store.close();
  }
}

/** A ticket and what is fired on it. */
interface Job {
  readonly jobNumber: string;
  readonly bakeCase: BakeCase;
}

/** Each bake has a ticket of its own, but colour goes on the higher-firing build-up of the bake before it. */
function jobOf(past: readonly PastBake[], index: number): Job {
  const isColour = past[index]?.plan.vacuum === undefined;
  const first = isColour && past[index - 1]?.plan.name.includes("higher-firing") ? index - 1 : index;
  return {
    jobNumber: `DEMO-${String(first + 1).padStart(3, "0")}`,
    bakeCase: { ...(first % 2 === 0 ? ZIRCONIA : METAL), bake: first === index ? "first" : "second" },
  };
}

async function writePastBake(
  store: Store,
  plans: readonly PlanRevision[],
  { furnace, plan, samples }: PastBake,
  { jobNumber, bakeCase, isNewest }: Job & { readonly isNewest: boolean },
  label: Label,
): Promise<void> {
  const startedAtEpochMilliseconds = label.epochMilliseconds;
  if (!(await store.furnaces.get(furnace))) await store.furnaces.save(demoFurnace(furnace));
  const trace = samples.map(([atSeconds, celsius, hectopascals]) => ({ atSeconds, celsius, hectopascals }));
  const card = plans.find((revision) => revision.plan.name === plan.name);
  const fitted = card ? await fittedPlan(store, card, bakeCase, furnace) : null;
  const judged = comparison(fitted?.plan ?? plan, trace, {
    activationEnergyJoulesPerMole: energyOf(fitted),
    isFinished: true,
    probe: DEMO_PROBE,
  });
  const bakeId = await store.bakes.create({
    furnaceId: furnace,
    plan: fitted,
    layers: layerBefore(fitted?.material ?? null),
    jobNumber,
    state: "running",
    isBegunByHand: false,
    startedAtEpochMilliseconds,
    restCelsius: trace[0]?.celsius ?? null,
    probe: DEMO_PROBE,
  });
  await store.bakes.appendSamples(
    bakeId,
    0,
    trace.map((sample) => ({
      ...sample,
      receivedAtEpochMilliseconds: startedAtEpochMilliseconds + sample.atSeconds * 1000,
    })),
  );
  await store.bakes.close(bakeId, {
    lengthSeconds: trace.at(-1)?.atSeconds ?? 0,
    peakCelsius: judged.peakCelsius,
    gapSeconds: gaps(trace).reduce((sum, gap) => sum + gap.toSeconds - gap.fromSeconds, 0),
    comparison: comparisonSchema.parse(judged),
  });
  label.epochMilliseconds += (trace.at(-1)?.atSeconds ?? 0) * 1000 + MILLISECONDS_UNTIL_GRADED;
  // The newest is left for whoever tries the kiosk.
  if (!isNewest)
    await store.bakes.addGrade(bakeId, {
      grade: inventedGrade(judged),
      note: "Invented",
      by: "Demonstration",
    });
}

function energyOf(fitted: BakePlan | null): number {
  return (
    fitted?.material?.material.activationEnergyJoulesPerMole ?? DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE
  );
}

/** Two bakes a day up to yesterday, mid-morning and after lunch. */
function pastMoments(nowEpochMilliseconds: number, count: number): number[] {
  return Array.from({ length: count }, (_, index) => {
    const moment = new Date(nowEpochMilliseconds);
    moment.setDate(moment.getDate() - Math.ceil((count - index) / 2));
    moment.setHours(index % 2 === 0 ? 9 : 14, (index * 17) % 60, 0, 0);
    return moment.getTime();
  });
}

/** How such a piece might well have come out. */
function inventedGrade({ heatWork, findings }: Comparison): GradeWord {
  const offsetKelvin = heatWork.equivalentOffsetKelvin ?? 0;
  if (offsetKelvin < -20) return "raw";
  if (offsetKelvin < -6 || findings.some(({ code }) => code === "vacuum-weak")) return "milky";
  if (offsetKelvin > 20) return "slumped";
  return offsetKelvin > 6 ? "glassy" : "right";
}
