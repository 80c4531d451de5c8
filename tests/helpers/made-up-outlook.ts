import type { Express } from "express";
import type { BakeCase } from "#shared/bake-case";
import type { Comparison } from "#shared/comparison";
import type { BakeGlass, GlassOutcome } from "#shared/glass";
import type { BakeLayer, JobLedger } from "#shared/layer";
import type { MaterialRevision } from "#shared/material";
import type { HeatWorkWindow, Outlook, WareEstimate } from "#shared/outlook";
import type { BakePlan, NumberSource } from "#shared/plan";
import type { Sample } from "#shared/sample";
import type { OpenBake } from "#shared/status";

/** Everything here is invented for screens and tests of the kiosk: no material, furnace or model of the world. */

export const MADE_UP_CASE: BakeCase = { framework: "zirconia", caseSize: "large", bake: "second" };

/** A climb that lags: short of the plan, with a hold that would make up for it. */
export function madeUpOutlook(changes: Partial<Outlook> = {}): Outlook {
  return {
    peak: { celsius: 757.4, inSeconds: 62 },
    asPlannedRatio: 0.94,
    asGoing: { ratio: 0.86, lowRatio: 0.79, highRatio: 0.93 },
    hold: { index: 1, plannedSeconds: 60, neededSeconds: 74 },
    learnedFromBakes: 12,
    ...changes,
  };
}

/** Ware so many kelvins behind its chamber. */
export function madeUpWare(chamberCelsius: number, heatWorkRatio: number | null = 0.18): WareEstimate {
  return {
    celsius: chamberCelsius - 9,
    slowCelsius: chamberCelsius - 14,
    fastCelsius: chamberCelsius - 6,
    heatWorkRatio,
  };
}

export const MADE_UP_WINDOW: HeatWorkWindow = {
  lowRatio: 0.9,
  highRatio: 1.12,
  lowLayer: "glaze",
  highLayer: "build-up",
};

/** A material that comes with the demonstration. */
export function madeUpMaterial(
  name = "Sample build-up",
  changes: Partial<MaterialRevision["material"]> = {},
): MaterialRevision {
  return {
    materialId: name.length,
    revision: 1,
    material: {
      name,
      origin: { kind: "invented", statement: "Invented for the demonstration." },
      activationEnergyJoulesPerMole: 325_000,
      referenceCelsius: 760,
      viscosity: { logPascalSeconds: -2, kelvin: 3000, zeroCelsius: 350 },
      surfaceTensionNewtonsPerMetre: 0.3,
      packing: { cellMicrometres: 20, relativeDensity: 0.6 },
      closure: { fromCelsius: 690, toCelsius: 720 },
      window: { leastEquivalentSeconds: 60, mostEquivalentSeconds: 130 },
      ...changes,
    },
    savedAtEpochMilliseconds: Date.UTC(2026, 0, 5),
    isDemonstration: true,
    isRetired: false,
  };
}

export const MADE_UP_LAYERS: BakeLayer[] = [
  { name: "build-up", material: madeUpMaterial() },
  {
    name: "glaze",
    material: madeUpMaterial("Sample glaze", {
      window: null,
      viscosity: null,
      packing: null,
      closure: null,
    }),
  },
];

/** What a card changed for the made-up case on furnace 1. */
export const MADE_UP_SOURCES: NumberSource[] = [
  { number: "drying", base: 240, parts: [], value: 240 },
  {
    number: "climb-rate",
    base: 40,
    parts: [
      {
        when: { kind: "case-size", caseSize: "large" },
        change: { kind: "shift", number: "climb-rate", by: -5 },
        basis: "common practice, no source",
      },
    ],
    value: 35,
  },
  {
    number: "top",
    base: 766,
    parts: [
      {
        when: { kind: "case-size", caseSize: "large" },
        change: { kind: "shift", number: "top", by: -10 },
        basis: "common practice, no source",
      },
      {
        when: { kind: "furnace", furnaceId: "furnace-1" },
        change: { kind: "shift", number: "top", by: 4 },
        basis: "dial-in",
      },
    ],
    value: 760,
  },
  {
    number: "top-hold",
    base: 60,
    parts: [
      {
        when: { kind: "bake", bake: "second" },
        change: { kind: "set", number: "top-hold", to: 10 },
        basis: "common practice, no source",
      },
    ],
    value: 10,
  },
];

const RIGHT: GlassOutcome = {
  heatWorkEquivalentSeconds: 74.2,
  flowLengthMicrometres: 108.9,
  closure: { atSeconds: 672, celsius: 714.9, hectopascals: 44.6 },
  porosityFraction: 0.000304,
  poreRadiusMicrometres: 1.1,
  reflectanceFraction: 0.0833,
  edgeRadiusMicrometres: 87.2,
};

/** By the chamber all is well; by the ware the pores closed after air was let in. */
export function madeUpGlass(changes: Partial<BakeGlass> = {}): BakeGlass {
  return {
    material: madeUpMaterial(),
    chamber: RIGHT,
    ware: {
      ware: { framework: "zirconia", grams: 5.4, wallMillimetres: 1.1 },
      outcome: {
        heatWorkEquivalentSeconds: 31.7,
        flowLengthMicrometres: 56,
        closure: { atSeconds: 758, celsius: 741.3, hectopascals: 1013 },
        porosityFraction: 0.0197,
        poreRadiusMicrometres: 3.2,
        reflectanceFraction: 0.626,
        edgeRadiusMicrometres: 44.8,
      },
    },
    ...changes,
  };
}

/** Two bakes of a job: the build-up went through both, the glaze was put on before the second. */
export function madeUpLedger(bakeIds: readonly [number, number], jobNumber = "4417"): JobLedger {
  const [first, second] = bakeIds;
  const [buildUp, glaze] = MADE_UP_LAYERS as [BakeLayer, BakeLayer];
  return {
    jobNumber,
    bakes: [first, second].map((bakeId, index) => ({
      bakeId,
      startedAtEpochMilliseconds: Date.UTC(2026, 10, 24, 9 + 3 * index),
      isOpen: false,
      planName: "Sample layer, high",
      furnaceName: "Furnace 1",
      heatWorkRatio: index === 0 ? 0.97 : 1.04,
    })),
    layers: [
      {
        ...buildUp,
        portions: [
          {
            bakeId: first,
            chamberEquivalentSeconds: 68.4,
            wareEquivalentSeconds: 52.1,
            flowLengthMicrometres: 82.5,
          },
          {
            bakeId: second,
            chamberEquivalentSeconds: 74.2,
            wareEquivalentSeconds: 31.7,
            flowLengthMicrometres: 108.9,
          },
        ],
      },
      {
        ...glaze,
        portions: [
          {
            bakeId: second,
            chamberEquivalentSeconds: 74.2,
            wareEquivalentSeconds: 31.7,
            flowLengthMicrometres: null,
          },
        ],
      },
    ],
  };
}

/** A made-up bake's plan as if its card had been fitted to the made-up case. */
export function fittedPlan(plan: BakePlan): BakePlan {
  return { ...plan, case: MADE_UP_CASE, sources: MADE_UP_SOURCES, material: madeUpMaterial() };
}

/** What an open bake of the made-up case knows beside its comparison; by no model, only plausible to look at. */
export function knownOfOpenBake(
  samples: readonly Sample[],
  comparison: Comparison | null,
): Pick<OpenBake, "layers" | "outlook" | "ware" | "window"> {
  const celsius = samples.at(-1)?.celsius ?? 510;
  const inSeconds = ((757.4 - celsius) / 34) * 60;
  const isClimbing = comparison?.stage.kind === "climb" && inSeconds > 0;
  const ratio = comparison?.heatWork.ratio ?? 0;
  const atTheEnd = Math.max(0.86, ratio);
  return {
    layers: MADE_UP_LAYERS,
    outlook:
      comparison &&
      madeUpOutlook({
        peak: isClimbing ? { celsius: 757.4, inSeconds } : null,
        asGoing: { ratio: atTheEnd, lowRatio: atTheEnd - 0.07, highRatio: atTheEnd + 0.07 },
        ...(comparison.stage.kind === "cooling" ? { hold: null } : {}),
      }),
    ware: madeUpWare(celsius, ratio * 0.62),
    window: MADE_UP_WINDOW,
  };
}

/** Answers for the glass of every bake and the ledger of every job. */
export function addGlassRoutes(application: Express): void {
  application.get("/api/bakes/:id/glass", (request, response) => {
    if (Number(request.params.id) % 5 === 0)
      response
        .status(422)
        .json({ error: "No material is known for this bake. Give its card one, in Plans." });
    else response.json(madeUpGlass());
  });
  application.get("/api/jobs/:job", (request, response) => {
    response.json(madeUpLedger([1, 24], request.params.job));
  });
}
