import type { BakeSummary } from "#shared/bake";
import type { FurnaceStatus } from "#shared/furnace";
import type { MaterialRevision } from "#shared/material";
import type { PlanRevision } from "#shared/plan";
import type { Sample, SampleBatch } from "#shared/sample";
import type { KioskSnapshot, OpenBake } from "#shared/status";

/** Raised when a page of another version could misread a message; the page then reloads. */
export const PROTOCOL_VERSION = 3;

/** What the daemon sends, by socket event. Each payload has a schema in this folder. */
export interface DaemonEvents {
  /** Everything, on every connect. */
  snapshot: (snapshot: KioskSnapshot) => void;
  /** A furnace changed: its link, its newest reading (at most 4 a second), its open bake. */
  furnace: (status: FurnaceStatus) => void;
  /** New samples of an open bake; volatile: what is missed is asked for by sequence. */
  samples: (batch: SampleBatch) => void;
  /** An open bake, its plan or its comparison changed (at most 2 a second). */
  bake: (bake: OpenBake) => void;
  /** A bake was closed; its verdict is at GET /api/bakes/:id. */
  finished: (bake: BakeSummary) => void;
  /** Saving went wrong (what, and how to mend), or is well again (null). */
  problem: (problem: string | null) => void;
  /** The newest revisions of all plans, after a change. */
  plans: (plans: PlanRevision[]) => void;
  /** The newest revisions of all materials, after a change. */
  materials: (materials: MaterialRevision[]) => void;
}

/** What a page sends. Everything that changes something goes over HTTP instead. */
export interface PageEvents {
  /** All samples of a bake after a sequence number (−1 for all); answered in batches of 5,000 at most. */
  "samples-after": (
    request: { bakeId: number; afterSequence: number },
    answer: (batch: { bakeId: number; fromSequence: number; samples: Sample[]; isLast: boolean }) => void,
  ) => void;
}
