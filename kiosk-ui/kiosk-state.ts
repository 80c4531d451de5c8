import type { BakeDetail, BakeSummary } from "#shared/bake";
import type { FurnaceStatus } from "#shared/furnace";
import type { MaterialRevision } from "#shared/material";
import type { HeatWorkWindow } from "#shared/outlook";
import type { PlanRevision } from "#shared/plan";
import type { Sample, SampleBatch } from "#shared/sample";
import type { KioskSettings, KioskSnapshot, OpenBake } from "#shared/status";

/** A reading older than this says so, s. */
export const STALE_AFTER_SECONDS = 3;

/** Whether the daemon is heard; `sinceSeconds` by the page's own clock. */
export type Connection =
  | { readonly kind: "connecting" }
  | { readonly kind: "connected" }
  | { readonly kind: "lost"; readonly sinceSeconds: number; readonly sinceEpochMilliseconds: number };

/** A furnace, and when its newest reading was heard by the page's own clock; null for none. */
export interface HeardFurnace extends FurnaceStatus {
  readonly heardAtSeconds: number | null;
}

/** An open bake with its samples; a sample's place in the list is its sequence number. */
export interface BakeInView extends OpenBake {
  readonly samples: readonly Sample[];
}

/** A bake that ended while this page watched, waiting for somebody to look at it. */
export interface FinishedBake {
  readonly bake: BakeSummary;
  /** Null until its verdict has come. */
  readonly detail: BakeDetail | null;
  readonly samples: readonly Sample[];
  /** Within what its layers wanted its heat work, as it was known while it ran. */
  readonly window?: HeatWorkWindow;
}

/** Everything that the page shows: one value, replaced whole, never edited. */
export interface KioskState {
  readonly connection: Connection;
  /** The page's own clock, s; only differences mean anything. */
  readonly nowSeconds: number;
  /** True once the daemon has sent everything. */
  readonly isLoaded: boolean;
  /** What is wrong with saving, in words; null when all is well. */
  readonly problem: string | null;
  readonly isDemonstration: boolean;
  readonly settings: KioskSettings;
  readonly furnaces: readonly HeardFurnace[];
  readonly openBakes: readonly BakeInView[];
  /** Newest revisions, retired ones marked. */
  readonly plans: readonly PlanRevision[];
  readonly materials: readonly MaterialRevision[];
  readonly finishedBakes: readonly FinishedBake[];
  /** One line about what was asked for and refused; null when there is none. */
  readonly refusal: string | null;
}

/** What happens to a page. */
export type KioskMessage = { readonly atSeconds: number } & (
  | { readonly kind: "tick" }
  | { readonly kind: "connected" }
  | { readonly kind: "lost"; readonly atEpochMilliseconds: number }
  | { readonly kind: "snapshot"; readonly snapshot: KioskSnapshot }
  | { readonly kind: "furnace"; readonly status: FurnaceStatus }
  | { readonly kind: "samples"; readonly batch: SampleBatch }
  | { readonly kind: "bake"; readonly bake: OpenBake }
  | { readonly kind: "finished"; readonly bake: BakeSummary }
  /** The verdict of a finished bake; with samples where the page had missed some. */
  | { readonly kind: "detail"; readonly detail: BakeDetail; readonly samples: readonly Sample[] | null }
  | { readonly kind: "looked-at"; readonly bakeId: number }
  | { readonly kind: "problem"; readonly problem: string | null }
  | { readonly kind: "plans"; readonly plans: readonly PlanRevision[] }
  | { readonly kind: "materials"; readonly materials: readonly MaterialRevision[] }
  | { readonly kind: "refused"; readonly message: string }
  | { readonly kind: "refusal-read" }
);

/** The state of a page that has heard nothing yet. */
export const initialKioskState: KioskState = {
  connection: { kind: "connecting" },
  nowSeconds: 0,
  isLoaded: false,
  problem: null,
  isDemonstration: false,
  settings: { temperatureUnit: "celsius", millimetresPerPixel: 0.1695 },
  furnaces: [],
  openBakes: [],
  plans: [],
  materials: [],
  finishedBakes: [],
  refusal: null,
};

/** The state after a message. */
export function nextKioskState(before: KioskState, message: KioskMessage): KioskState {
  const state = { ...before, nowSeconds: message.atSeconds };
  switch (message.kind) {
    case "tick":
      return state;
    case "connected":
      return { ...state, connection: { kind: "connected" } };
    case "lost":
      return { ...state, connection: lostConnection(state, message.atEpochMilliseconds) };
    case "snapshot":
      return withSnapshot(state, message.snapshot);
    case "furnace":
      return withFurnace(state, message.status);
    case "samples":
      return { ...state, openBakes: state.openBakes.map((bake) => withSamples(bake, message.batch)) };
    case "bake":
      return withOpenBake(state, message.bake);
    case "finished":
      return withFinished(state, message.bake);
    case "detail":
      return { ...state, finishedBakes: state.finishedBakes.map((bake) => withDetail(bake, message)) };
    case "looked-at":
      return {
        ...state,
        finishedBakes: state.finishedBakes.filter(({ bake }) => bake.id !== message.bakeId),
      };
    case "problem":
      return { ...state, problem: message.problem };
    case "plans":
      return { ...state, plans: message.plans };
    case "materials":
      return { ...state, materials: message.materials };
    case "refused":
      return { ...state, refusal: message.message };
    case "refusal-read":
      return { ...state, refusal: null };
  }
}

/** How many samples of a bake the page holds without a hole: the sequence number that it needs next. */
export function samplesHeld(state: KioskState, bakeId: number): number {
  return state.openBakes.find(({ bake }) => bake.id === bakeId)?.samples.length ?? 0;
}

/** Age of a furnace's newest reading by the page's own clock, s; null when none was ever heard. */
export function readingAgeSeconds(state: KioskState, furnace: HeardFurnace): number | null {
  return furnace.heardAtSeconds === null ? null : Math.max(0, state.nowSeconds - furnace.heardAtSeconds);
}

/** The bake that is open on a furnace. */
export function openBakeOf(state: KioskState, furnaceId: string): BakeInView | null {
  return state.openBakes.find(({ bake }) => bake.furnaceId === furnaceId) ?? null;
}

/** The newest finished bake of a furnace that still waits for a look. */
export function finishedBakeOf(state: KioskState, furnaceId: string): FinishedBake | null {
  return state.finishedBakes.findLast(({ bake }) => bake.furnaceId === furnaceId) ?? null;
}

function lostConnection(state: KioskState, atEpochMilliseconds: number): Connection {
  if (state.connection.kind === "lost") return state.connection;
  return { kind: "lost", sinceSeconds: state.nowSeconds, sinceEpochMilliseconds: atEpochMilliseconds };
}

function withSnapshot(state: KioskState, snapshot: KioskSnapshot): KioskState {
  const { problem, isDemonstration, settings, plans, materials, sentAtEpochMilliseconds } = snapshot;
  return {
    ...state,
    connection: { kind: "connected" },
    isLoaded: true,
    problem,
    isDemonstration,
    settings,
    plans,
    materials,
    furnaces: snapshot.furnaces.map((status) => ({
      ...status,
      heardAtSeconds: status.latest
        ? state.nowSeconds -
          Math.max(0, sentAtEpochMilliseconds - status.latest.receivedAtEpochMilliseconds) / 1000
        : null,
    })),
    openBakes: snapshot.openBakes.map((bake) => ({ ...bake, samples: samplesStillTrue(state, bake) })),
  };
}

/** What the page already has of a bake, cut to what the daemon has: a restart may have lost the last second. */
function samplesStillTrue(state: KioskState, { bake }: OpenBake): readonly Sample[] {
  const held = state.openBakes.find((other) => other.bake.id === bake.id)?.samples ?? [];
  return held.slice(0, bake.sampleCount);
}

function withFurnace(state: KioskState, status: FurnaceStatus): KioskState {
  const before = state.furnaces.find(({ furnace }) => furnace.id === status.furnace.id);
  const isSameReading =
    before?.latest?.receivedAtEpochMilliseconds === status.latest?.receivedAtEpochMilliseconds;
  const heardAtSeconds =
    status.latest === null ? null : isSameReading ? (before?.heardAtSeconds ?? null) : state.nowSeconds;
  const heard: HeardFurnace = { ...status, heardAtSeconds };
  const furnaces = before
    ? state.furnaces.map((furnace) => (furnace === before ? heard : furnace))
    : [...state.furnaces, heard];
  return { ...state, furnaces };
}

/** Samples join where they fit; what leaves a hole is left for the catch-up to bring. */
function withSamples(bake: BakeInView, batch: SampleBatch): BakeInView {
  const alreadyHeld = bake.samples.length - batch.fromSequence;
  if (bake.bake.id !== batch.bakeId || alreadyHeld < 0 || alreadyHeld >= batch.samples.length) return bake;
  return { ...bake, samples: [...bake.samples, ...batch.samples.slice(alreadyHeld)] };
}

function withOpenBake(state: KioskState, open: OpenBake): KioskState {
  const before = state.openBakes.find(({ bake }) => bake.id === open.bake.id);
  const now: BakeInView = { ...open, samples: before?.samples ?? [] };
  if (before) return { ...state, openBakes: state.openBakes.map((bake) => (bake === before ? now : bake)) };
  return {
    ...state,
    openBakes: [...state.openBakes, now],
    finishedBakes: state.finishedBakes.filter(({ bake }) => bake.furnaceId !== open.bake.furnaceId),
  };
}

function withFinished(state: KioskState, bake: BakeSummary): KioskState {
  const { samples = [], window = null } = state.openBakes.find((open) => open.bake.id === bake.id) ?? {};
  return {
    ...state,
    openBakes: state.openBakes.filter((open) => open.bake.id !== bake.id),
    finishedBakes: [
      ...state.finishedBakes.filter((other) => other.bake.id !== bake.id),
      { bake, detail: null, samples, ...(window && { window }) },
    ],
  };
}

function withDetail(
  finished: FinishedBake,
  { detail, samples }: Extract<KioskMessage, { kind: "detail" }>,
): FinishedBake {
  if (finished.bake.id !== detail.bake.id) return finished;
  return { ...finished, bake: detail.bake, detail, samples: samples ?? finished.samples };
}
