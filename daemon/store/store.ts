import { type Clock, systemClock } from "#daemon/clock";
import { BakeStore } from "#daemon/store/bake-store";
import { CheckStore } from "#daemon/store/check-store";
import { Database } from "#daemon/store/database";
import { FurnaceStore } from "#daemon/store/furnace-store";
import { MaterialStore } from "#daemon/store/material-store";
import { PlanStore } from "#daemon/store/plan-store";

/** Everything that is kept, in one file. */
export interface Store {
  readonly furnaces: FurnaceStore;
  readonly plans: PlanStore;
  readonly materials: MaterialStore;
  readonly bakes: BakeStore;
  readonly checks: CheckStore;
  /** What is wrong with the file; empty when it is sound. */
  integrityCheck(): Promise<string[]>;
  /** Waits for what is being written, then closes the file. */
  close(): Promise<void>;
}

/**
 * Opens the file at `path`, or makes it; its folder must exist. The clock only labels what is saved.
 * @throws DaemonError `store-failed` when it cannot be opened, is damaged, or a newer program wrote it
 */
export async function openStore(path: string, clock: Clock = systemClock): Promise<Store> {
  const database = await Database.open(path);
  const plans = new PlanStore(database, clock);
  return {
    furnaces: new FurnaceStore(database, clock),
    plans,
    materials: new MaterialStore(database, clock),
    bakes: new BakeStore(database, plans, clock),
    checks: new CheckStore(database, clock),
    integrityCheck: () => database.integrityCheck(),
    close: () => database.close(),
  };
}
