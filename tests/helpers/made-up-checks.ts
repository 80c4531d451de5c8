import type { Express } from "express";
import type { Trace } from "#core/trace/trace";
import { referenceCheck, wireCheck } from "#core/upkeep/accuracy-check";
import { FIXED_POINTS } from "#core/upkeep/fixed-points";
import { meltPlateau } from "#core/upkeep/melt-plateau";
import { readingAt } from "#core/upkeep/reading-at";
import {
  acceptRequestSchema,
  type Check,
  type CheckRequest,
  checkDueRequestSchema,
  checkRequestSchema,
  checkSchema,
} from "#shared/check";
import type { FurnaceStatus } from "#shared/furnace";
import { type Probe, probeSchema, UNKNOWN_PROBE } from "#shared/probe";
import type { Sample } from "#shared/sample";

const DAY_MILLISECONDS = 86_400_000;
const SAMPLES_PER_SECOND = 4;

/** An invented probe of type S with everything said of it. */
export const MADE_UP_PROBE: Probe = {
  type: "S",
  toleranceClass: "iec-2",
  instrumentAccuracyKelvin: 1.5,
  instrumentResolutionKelvin: 0.1,
  coldJunctionAccuracyKelvin: 1,
  positionKelvin: 2,
  correction: null,
};

/** A check of a probe, as a daemon would keep it. */
export function madeUpCheck(
  asked: CheckRequest,
  { id = 1, furnaceId = "furnace-1", at = Date.now(), trace = [] as Trace, probe = MADE_UP_PROBE } = {},
): Check {
  const request = checkRequestSchema.parse(asked);
  const result =
    request.kind === "reference"
      ? { ...referenceCheck({ ...request, probe }), plateau: null }
      : wireResult(request, trace, probe);
  return checkSchema.parse({
    id,
    furnaceId,
    checkedAtEpochMilliseconds: at,
    request,
    result,
    accepted: null,
  });
}

/** Half a year of invented checks, newest first: a probe that slowly reads too low; one was accepted. */
export function madeUpChecks(now: number, furnaceId = "furnace-1"): Check[] {
  const history = [
    { daysAgo: 164, offKelvin: -0.6, metal: "silver" },
    { daysAgo: 131, offKelvin: -1.1, metal: "silver" },
    { daysAgo: 99, offKelvin: -0.9, metal: "gold" },
    { daysAgo: 68, offKelvin: -2.1, metal: "silver" },
    { daysAgo: 13, offKelvin: -3.4, metal: "silver" },
  ] as const;
  const checks = history.map(({ daysAgo, offKelvin, metal }, index): Check => {
    const at = now - daysAgo * DAY_MILLISECONDS;
    const check = madeUpCheck(
      {
        kind: "melting-wire",
        metal,
        atmosphere: "vacuum",
        reading: {
          kind: "by-hand",
          readingCelsius: FIXED_POINTS[metal].celsius + offKelvin,
          kelvinPerMinute: 7,
        },
        by: "MK",
      },
      { id: index + 1, furnaceId, at },
    );
    const accepted = daysAgo === 68 ? { atEpochMilliseconds: at + 600_000, by: "MK" } : null;
    return { ...check, accepted };
  });
  return checks.reverse();
}

/** A probe that a check corrects. */
export function correctedProbe(probe: Probe, { id, result, accepted }: Check): Probe {
  return {
    ...probe,
    correction: {
      checkId: id,
      acceptedAtEpochMilliseconds: accepted?.atEpochMilliseconds ?? Date.now(),
      acceptedBy: accepted?.by ?? null,
      points: result.correction,
      expandedUncertaintyKelvin: result.expandedUncertaintyKelvin,
      coverageFactor: result.coverageFactor,
    },
  };
}

/**
 * A synthetic trace past the silver point: fast to 932 °C, then at a slow rate, with the reading standing while
 * the wire melts and catching up after. No model of a furnace.
 */
export function madeUpMelt({ offKelvin = -1.4, slowKelvinPerMinute = 7, meltSeconds = 40 } = {}): Sample[] {
  const meltCelsius = FIXED_POINTS.silver.celsius + offKelvin;
  const samples: Sample[] = [];
  let chamber = 620;
  let meltingFor = 0;
  let behind = 0;
  for (let index = 0; chamber < meltCelsius + 30; index++) {
    chamber += (chamber < 932 ? 35 : slowKelvinPerMinute) / 60 / SAMPLES_PER_SECOND;
    if (chamber >= meltCelsius && meltingFor < meltSeconds) {
      meltingFor += 1 / SAMPLES_PER_SECOND;
      behind = chamber - meltCelsius;
    } else behind *= 0.985;
    const noise = 0.12 * Math.sin(index * 12.9898) * Math.cos(index * 4.137);
    samples.push({
      atSeconds: index / SAMPLES_PER_SECOND,
      celsius: Math.round((chamber - behind + noise) * 10) / 10,
      hectopascals: 45,
    });
  }
  return samples;
}

/** What the stub's checks need of it. */
export interface CheckHouse {
  readonly furnaces: FurnaceStatus[];
  /** The checks of each furnace, newest first; replaced when one is added. */
  readonly checks: Map<string, readonly Check[]>;
  /** The samples of a bake, as recorded. */
  samples(bakeId: number): readonly Sample[];
  /** Tells every page of a changed furnace. */
  tell(status: FurnaceStatus): void;
}

/** The requests about checks, answered as a daemon would. */
export function addCheckRoutes(application: Express, { furnaces, checks, samples, tell }: CheckHouse): void {
  const listOf = (id: string) => checks.get(id) ?? [];
  const changed = (id: string, change: (furnace: FurnaceStatus["furnace"]) => FurnaceStatus["furnace"]) => {
    const index = furnaces.findIndex(({ furnace }) => furnace.id === id);
    const status = furnaces[index];
    if (!status) throw new Error(`No furnace ${id}`);
    const after = { ...status, furnace: change(status.furnace) };
    furnaces[index] = after;
    tell(after);
    return after;
  };
  application.get("/api/furnaces/:id/checks", (request, response) => {
    response.json({ checks: listOf(request.params.id) });
  });
  application.post("/api/furnaces/:id/checks", (request, response) => {
    const { id } = request.params;
    const asked = checkRequestSchema.parse(request.body);
    const probe = furnaces.find(({ furnace }) => furnace.id === id)?.furnace.probe ?? UNKNOWN_PROBE;
    const bakeId = asked.kind === "melting-wire" && "bakeId" in asked.reading ? asked.reading.bakeId : 0;
    try {
      const newest = Math.max(0, ...[...checks.values()].flat().map((check) => check.id));
      const made = { id: newest + 1, furnaceId: id, trace: samples(bakeId), probe };
      const check = madeUpCheck(asked, made);
      checks.set(id, [check, ...listOf(id)]);
      response.status(201).json(check);
    } catch (error) {
      response.status(409).json({ error: error instanceof Error ? error.message : String(error) });
    }
  });
  application.post("/api/furnaces/:id/checks/:checkId/accept", (request, response) => {
    const { id, checkId } = request.params;
    const { by } = acceptRequestSchema.parse(request.body);
    const accepted = { atEpochMilliseconds: Date.now(), by };
    const list = listOf(id).map((check) => (check.id === Number(checkId) ? { ...check, accepted } : check));
    checks.set(id, list);
    const check = list.find((candidate) => candidate.id === Number(checkId));
    if (!check) response.status(404).json({ error: `There is no check ${checkId}.` });
    else
      response.json(changed(id, (furnace) => ({ ...furnace, probe: correctedProbe(furnace.probe, check) })));
  });
  application.post("/api/furnaces/:id/correction/withdraw", (request, response) => {
    response.json(
      changed(request.params.id, (furnace) => ({
        ...furnace,
        probe: probeSchema.parse({ ...furnace.probe, correction: null }),
      })),
    );
  });
  application.put("/api/furnaces/:id/check-due", (request, response) => {
    const { dueEpochMilliseconds } = checkDueRequestSchema.parse(request.body);
    response.json(
      changed(request.params.id, (furnace) => ({
        ...furnace,
        checkDueEpochMilliseconds: dueEpochMilliseconds,
      })),
    );
  });
}

function wireResult(
  request: Extract<Check["request"], { kind: "melting-wire" }>,
  trace: Trace,
  probe: Probe,
): Check["result"] {
  const plateau =
    request.reading.kind === "plateau" ? meltPlateau(trace, FIXED_POINTS[request.metal].celsius) : null;
  const pressed = request.reading.kind === "pressed" ? readingAt(trace, request.reading.atSeconds) : null;
  const byHand = request.reading.kind === "by-hand" ? request.reading : null;
  const readingCelsius = plateau?.celsius ?? pressed?.celsius ?? byHand?.readingCelsius;
  if (readingCelsius === undefined) throw new Error("No plateau and no reading is to be seen in that bake.");
  const outcome = wireCheck({
    ...request,
    readingCelsius,
    readingStandardKelvin: plateau?.standardUncertaintyKelvin ?? pressed?.standardUncertaintyKelvin ?? 0,
    climbKelvinPerMinute: pressed?.kelvinPerMinute ?? byHand?.kelvinPerMinute ?? 0,
    probe,
  });
  return { ...outcome, points: [...outcome.points], correction: [...outcome.correction], plateau };
}
