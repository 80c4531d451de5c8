import type { FurnaceLines } from "#daemon/furnace-lines";
import type { Log } from "#daemon/log";
import type { Recorder } from "#daemon/recording/recorder";
import type { Store } from "#daemon/store/store";
import type { BakeDetail } from "#shared/bake";

/** What the routes work with. */
export interface HttpParts {
  readonly store: Store;
  readonly recorder: Recorder;
  readonly lines: FurnaceLines;
  readonly log: Log;
  /** Folder of the built page. */
  readonly kioskFolder: string;
  /** Somebody pressed *Begin* on a furnace. */
  readonly onBegun: (furnaceId: string, bake: BakeDetail) => void;
  /** A card was saved or retired: every page is to know. */
  readonly onPlansChanged: () => Promise<void>;
  readonly onMaterialsChanged: () => Promise<void>;
}
