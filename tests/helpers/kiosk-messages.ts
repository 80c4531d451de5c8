import type { BakeDetail, BakeSummary } from "#shared/bake";
import type { FurnaceStatus } from "#shared/furnace";
import { UNKNOWN_PROBE } from "#shared/probe";
import { PROTOCOL_VERSION } from "#shared/protocol";
import type { Sample } from "#shared/sample";
import type { KioskSnapshot, OpenBake } from "#shared/status";
import { madeUpBakePlan, madeUpPlans } from "#tests/helpers/made-up-bakes";

/** A bake on furnace 1 with the first made-up plan. */
export function bake(changes: Partial<BakeSummary> = {}): BakeSummary {
  return {
    id: 7,
    furnaceId: "furnace-1",
    furnaceName: "Furnace 1",
    planId: 1,
    planRevision: 1,
    planName: "Sample layer, high",
    jobNumber: "4417",
    state: "running",
    startedAtEpochMilliseconds: 1_000_000,
    lengthSeconds: 0,
    sampleCount: 0,
    peakCelsius: null,
    heatWorkRatio: null,
    equivalentOffsetKelvin: null,
    gapSeconds: 0,
    grade: null,
    isDemonstration: true,
    case: null,
    ...changes,
  };
}

/** Of an open bake whose job has no layers and whose furnace has no earlier bakes. */
export const NOTHING_KNOWN = { layers: [], outlook: null, ware: null, window: null };

/** The same, open, with its plan and nothing compared yet. */
export function openBake(changes: Partial<BakeSummary> = {}): OpenBake {
  const [revision] = madeUpPlans();
  return {
    bake: bake(changes),
    plan: revision ? madeUpBakePlan(revision) : null,
    comparison: null,
    probe: null,
    sensorFaults: [],
    ...NOTHING_KNOWN,
  };
}

/** The same, as a request answers it. */
export function detail(changes: Partial<BakeSummary> = {}): BakeDetail {
  const { plan } = openBake();
  return {
    bake: bake({ state: "finished", ...changes }),
    plan,
    comparison: null,
    grades: [],
    note: null,
    probe: null,
    sensorFaults: [],
    layers: [],
  };
}

/** Furnace 1, heard at a moment of the daemon's wall clock. */
export function furnace({ receivedAt = 1_000_000 } = {}): FurnaceStatus {
  return {
    furnace: {
      id: "furnace-1",
      name: "Furnace 1",
      port: "tcp://127.0.0.1:7000",
      baudRate: 9600,
      framing: "8N1",
      format: "auto",
      probe: UNKNOWN_PROBE,
      checkDueEpochMilliseconds: null,
      isDemonstration: true,
    },
    link: {
      kind: "listening",
      sinceEpochMilliseconds: 0,
      message: null,
      acceptedLines: 1200,
      refusedLines: 2,
      overlongLines: 0,
      unanswered: 0,
      lastRefusedLine: "T=7x4.1",
      format: null,
    },
    latest: { sample: { celsius: 502 }, receivedAtEpochMilliseconds: receivedAt },
    sensorFaults: [],
    openBakeId: null,
  };
}

/** Everything, on connect. */
export function snapshot({
  sentAt = 1_000_000,
  furnaces = [furnace()],
  openBakes = [] as OpenBake[],
  protocolVersion = PROTOCOL_VERSION,
} = {}): KioskSnapshot {
  return {
    protocolVersion,
    problem: null,
    sentAtEpochMilliseconds: sentAt,
    isDemonstration: true,
    settings: { temperatureUnit: "celsius", millimetresPerPixel: 0.1695 },
    furnaces,
    openBakes,
    plans: madeUpPlans(),
    materials: [],
  };
}

/** Samples a second apart; each one's time is its sequence number. */
export function samples(fromSequence: number, count: number): Sample[] {
  return Array.from({ length: count }, (_, index) => ({
    atSeconds: fromSequence + index,
    celsius: 500 + fromSequence + index,
  }));
}
