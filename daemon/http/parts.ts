import type { z } from "zod";
import type { FurnaceLines } from "#daemon/furnace-lines";
import type { Log } from "#daemon/log";
import type { Store } from "#daemon/store/store";
import type { BakeDetail } from "#shared/bake";
import type { bakePatchSchema, beginRequestSchema, gradeRequestSchema } from "#shared/requests";
import type { OpenBake } from "#shared/status";

/** The part of the recorder that requests come to. */
export interface Recording {
  begin(furnaceId: string, request: z.output<typeof beginRequestSchema>): Promise<unknown>;
  assign(bakeId: number, patch: z.output<typeof bakePatchSchema>): Promise<unknown>;
  closeBake(bakeId: number): Promise<unknown>;
  grade(bakeId: number, request: z.output<typeof gradeRequestSchema>): Promise<unknown>;
  openBakes(): readonly OpenBake[];
}

/** What the routes work with. */
export interface HttpParts {
  readonly store: Store;
  readonly recording: Recording;
  readonly lines: FurnaceLines;
  readonly log: Log;
  /** Folder of the built page. */
  readonly kioskFolder: string;
  /** Somebody pressed *Begin* on a furnace. */
  readonly onBegun: (furnaceId: string, bake: BakeDetail) => void;
  readonly onPlansChanged: () => Promise<void>;
}
