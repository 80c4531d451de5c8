import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openStore, type Store } from "#daemon/store/store";
import type { Comparison } from "#shared/comparison";
import type { Furnace } from "#shared/furnace";
import type { Material } from "#shared/material";
import { type BakePlan, type Card, cardSchema, type Plan, type PlanRevision } from "#shared/plan";
import { type Probe, UNKNOWN_PROBE } from "#shared/probe";
import type { SensorFault } from "#shared/sensor-fault";

/** A store in a folder of its own, with the furnace "one" in it. */
export interface TestStore {
  readonly store: Store;
  readonly path: string;
  /** Removes the folder; close the store before. */
  remove(): Promise<void>;
}

export const furnaceOne: Furnace = {
  id: "one",
  name: "Furnace one",
  port: null,
  baudRate: 9600,
  framing: "8N1",
  format: "auto",
  probe: UNKNOWN_PROBE,
  checkDueEpochMilliseconds: null,
  isDemonstration: false,
};

/** A type S thermocouple of class 2 on an adapter of ± 1 K that shows tenths, never checked. */
export const probeS: Probe = {
  type: "S",
  toleranceClass: "iec-2",
  instrumentAccuracyKelvin: 1,
  instrumentResolutionKelvin: 0.1,
  coldJunctionAccuracyKelvin: 0.5,
  positionKelvin: 2,
  correction: null,
};

/** Open for four readings, once, and well again. */
export const openCircuit: SensorFault = {
  kind: "open-circuit",
  isActive: false,
  episodes: 1,
  readings: 4,
  seconds: 4,
  firstAtSeconds: 10,
  lastAtSeconds: 13,
  celsius: null,
  likelyType: null,
  needsPerson: true,
};

/** 510 °C, 50 K/min to 760 °C, one minute: five minutes and more. */
export const plan: Plan = {
  name: "Layer, first bake",
  dryingSeconds: 0,
  closingSeconds: 0,
  lowCelsius: 510,
  lowHoldSeconds: 0,
  steps: [
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 50 },
    { kind: "hold", seconds: 60 },
  ],
  cooling: { kind: "free" },
};

/** The same as a card without adaptations. */
export const card: Card = cardSchema.parse({ plan });

/** Invented, with a window that one bake of `plan` falls into. */
export const paste: Material = {
  name: "Sample paste",
  origin: { kind: "invented", statement: "For tests." },
  activationEnergyJoulesPerMole: 400_000,
  referenceCelsius: 760,
  viscosity: { logPascalSeconds: -2.4, kelvin: 3420, zeroCelsius: 330 },
  surfaceTensionNewtonsPerMetre: 0.3,
  packing: { cellMicrometres: 20, relativeDensity: 0.6 },
  closure: { fromCelsius: 723, toCelsius: 745 },
  window: { leastEquivalentSeconds: 60, mostEquivalentSeconds: 230 },
};

/** `card` with one adaptation of each kind: large 10 K lower, second bake 15 s, furnace "one" 4 K higher. */
export const cardOfCases: Card = cardSchema.parse({
  plan,
  adaptations: [
    {
      when: { kind: "case-size", caseSize: "large" },
      changes: [
        { kind: "shift", number: "top", by: -10 },
        { kind: "shift", number: "climb-rate", by: -10 },
      ],
      basis: "common practice, no source",
    },
    { when: { kind: "bake", bake: "second" }, changes: [{ kind: "set", number: "top-hold", to: 15 }] },
    { when: { kind: "furnace", furnaceId: "one" }, changes: [{ kind: "shift", number: "top", by: 4 }] },
  ],
  limits: [{ framework: "lithium-disilicate", topCelsius: 755 }],
});

/** The base plan of a saved card as a bake runs it. */
export function bakePlanOf({ planId, revision, plan, ...saved }: PlanRevision): BakePlan {
  const { savedAtEpochMilliseconds, isDemonstration } = saved;
  const base = { planId, revision, plan, savedAtEpochMilliseconds, isDemonstration };
  return { ...base, case: null, sources: [], material: null };
}

export async function testStore(): Promise<TestStore> {
  const folder = await mkdtemp(join(tmpdir(), "bakeside-store-"));
  const path = join(folder, "bakes.db");
  const store = await openStore(path);
  await store.furnaces.save(furnaceOne);
  return {
    store,
    path,
    remove: () => rm(folder, { recursive: true }),
  };
}

/** A comparison with one figure to know it by. */
export function comparisonWithRatio(ratio: number): Comparison {
  return {
    modelVersion: 1,
    uncertainty: null,
    stage: { kind: "done", index: 1 },
    planZeroSeconds: 0,
    peakCelsius: 760,
    peakAtSeconds: 300,
    overshootKelvin: 0,
    overshootSeconds: 0,
    undershootKelvin: 0,
    drying: { planned: { lengthSeconds: 0 }, actual: null },
    climbs: [],
    holds: [],
    cooling: { planned: { kelvinPerMinute: null, toCelsius: null }, actual: null },
    vacuum: { planned: null, actual: null, isMeasured: false },
    heatWork: {
      referenceCelsius: 760,
      activationEnergyJoulesPerMole: 325_000,
      plannedEquivalentSeconds: 90,
      deliveredEquivalentSeconds: 90 * ratio,
      ratio,
      equivalentOffsetKelvin: 0,
    },
    gaps: [],
    findings: [{ code: "as-planned", heatWorkEffectFraction: 0, needsPerson: false }],
  };
}
