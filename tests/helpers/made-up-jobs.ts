import type { Express } from "express";
import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import { DEMONSTRATION_CARDS } from "#core/plan/demonstration-plans";
import type { BeginDesk } from "#kiosk-ui/screens/begin/job-history";
import type { BakeCase } from "#shared/bake-case";
import type { JobLedger } from "#shared/layer";
import type { MaterialRevision } from "#shared/material";
import type { PlanRevision } from "#shared/plan";
import type { FurnaceExperience } from "#shared/requests";
import { bake } from "#tests/helpers/kiosk-messages";
import { MADE_UP_CASE } from "#tests/helpers/made-up-outlook";

const SAVED_AT = Date.UTC(2026, 0, 5);

/** The demonstration's materials as a daemon keeps them. */
export function madeUpMaterials(): MaterialRevision[] {
  return DEMONSTRATION_MATERIALS.map((material, index) => ({
    materialId: index + 1,
    revision: 1,
    material,
    savedAtEpochMilliseconds: SAVED_AT,
    isDemonstration: true,
    isRetired: false,
  }));
}

/**
 * The demonstration's cards as a daemon keeps them, the first with a dial-in of furnace 1; after them one that
 * is retired and one whose adaptations contradict each other for a large second bake.
 */
export function madeUpCards(): PlanRevision[] {
  const cards = DEMONSTRATION_CARDS.map(
    ({ card, materialName }, index): PlanRevision => ({
      ...card,
      plan: { ...card.plan, steps: [...card.plan.steps] },
      adaptations: card.adaptations.map((adaptation) => ({
        ...adaptation,
        changes: [...adaptation.changes],
      })),
      limits: [...card.limits],
      planId: index + 1,
      revision: index + 2,
      materialId: DEMONSTRATION_MATERIALS.findIndex(({ name }) => name === materialName) + 1,
      savedAtEpochMilliseconds: SAVED_AT,
      isDemonstration: true,
      isRetired: false,
    }),
  );
  const [first, second] = cards;
  if (!first || !second) throw new Error("the demonstration has lost its cards");
  const dialIn: PlanRevision["adaptations"][number] = {
    when: { kind: "furnace", furnaceId: "furnace-1" },
    changes: [{ kind: "shift", number: "top", by: 4 }],
    basis: "dial-in of 3 November",
  };
  return [
    { ...first, adaptations: [...first.adaptations, dialIn] },
    { ...second, adaptations: [...second.adaptations, dialIn] },
    ...cards.slice(2),
    contradictory(second),
    { ...first, planId: 5, plan: { ...first.plan, name: "Demo build-up, of old" }, isRetired: true },
  ];
}

/** Sets the hold twice: for the large case and for the second bake. */
function contradictory(card: PlanRevision): PlanRevision {
  return {
    ...card,
    planId: 4,
    revision: 1,
    plan: { ...card.plan, name: "Demo build-up, contradictory" },
    adaptations: [
      {
        when: { kind: "case-size", caseSize: "large" },
        changes: [{ kind: "set", number: "top-hold", to: 90 }],
      },
      { when: { kind: "bake", bake: "second" }, changes: [{ kind: "set", number: "top-hold", to: 10 }] },
    ],
    materialId: null,
  };
}

/** The job number of bake 22 of a stub, which ran the second card. */
export const MADE_UP_JOB = "4411";

/** A job that had its higher-firing build-up in one bake; a job of nothing else is new. */
export function madeUpJob(jobNumber: string, bakeId: number | null = 22): JobLedger {
  const [, paste] = madeUpMaterials();
  if (jobNumber !== MADE_UP_JOB || bakeId === null || !paste) return { jobNumber, bakes: [], layers: [] };
  return {
    jobNumber,
    bakes: [
      {
        bakeId,
        startedAtEpochMilliseconds: Date.now() - 7_200_000,
        isOpen: false,
        planName: "Demo build-up, higher-firing",
        furnaceName: "Furnace 2",
        heatWorkRatio: 0.98,
      },
    ],
    layers: [
      {
        name: "Demo paste, higher-firing",
        material: paste,
        portions: [
          {
            bakeId,
            chamberEquivalentSeconds: 103,
            wareEquivalentSeconds: 71,
            flowLengthMicrometres: 3.1,
          },
        ],
      },
    ],
  };
}

export const MADE_UP_EXPERIENCE: FurnaceExperience = {
  bakes: 24,
  fastestClimbKelvinPerMinute: 47,
  coolingKelvinPerMinute: 52,
};

/** What a stub answers about jobs and what its furnaces have managed. */
export function addJobRoutes(application: Express): void {
  application.get("/api/jobs/:job", (request, response) => {
    response.json(madeUpJob(request.params.job));
  });
  application.get("/api/furnaces/:id/experience", (_request, response) => {
    response.json(MADE_UP_EXPERIENCE);
  });
}

/** A daemon for Begin alone, that knows job 4411; keeps what it was asked. */
export interface FakeBeginDesk extends BeginDesk {
  readonly asked: string[];
  /** Lets what was asked wait until it is called. */
  hold(): () => void;
  /** The one line with which it refuses everything; null while it does not. */
  refusal: string | null;
}

/** Opens one whose furnace has climbed at 47 K/min at most. */
export function fakeBeginDesk(bakeCase: BakeCase | null = MADE_UP_CASE): FakeBeginDesk {
  let open: Promise<void> = Promise.resolve();
  const known = { id: 22, jobNumber: MADE_UP_JOB, planId: 2, case: bakeCase };
  const desk: FakeBeginDesk = {
    asked: [],
    refusal: null,
    hold() {
      let letGo = () => {};
      open = new Promise((resolve) => {
        letGo = resolve;
      });
      return letGo;
    },
    async bakes({ job = "" } = {}) {
      await answered(`bakes of ${job}`);
      // the daemon finds numbers that contain what is asked for
      const bakes = [bake({ ...known, id: 23, jobNumber: `${MADE_UP_JOB}0` }), bake(known)];
      return { bakes: bakes.filter(({ jobNumber }) => jobNumber?.includes(job)), total: 2 };
    },
    async ask(path, schema) {
      await answered(path);
      const job = path.split("/").at(-1) ?? "";
      return schema.parse(path.endsWith("/experience") ? MADE_UP_EXPERIENCE : madeUpJob(job));
    },
  };
  async function answered(question: string): Promise<void> {
    desk.asked.push(question);
    await open;
    if (desk.refusal !== null) throw new Error(desk.refusal);
  }
  return desk;
}
