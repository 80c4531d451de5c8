import { once } from "node:events";
import type { Server } from "node:http";
import type { AddressInfo } from "node:net";
import { pino } from "pino";
import { systemClock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import { FurnaceLines } from "#daemon/furnace-lines";
import type { HttpParts, Recording } from "#daemon/http/parts";
import { kioskServer } from "#daemon/http/server";
import { openStore, type Store } from "#daemon/store/store";
import type { BakeDetail } from "#shared/bake";
import type { Furnace } from "#shared/furnace";
import type { OpenBake } from "#shared/status";
import { temporaryFolder } from "#tests/helpers/call";

/** A kiosk's HTTP side over a real store, with links and a recorder that do as little as they can. */
export interface KioskHouse {
  readonly address: string;
  readonly server: Server;
  readonly store: Store;
  readonly lines: FurnaceLines;
  readonly recording: PlainRecording;
  /** Addresses of the links, in the order of their opening. */
  readonly openedPorts: string[];
  readonly begun: BakeDetail[];
  readonly kioskFolder: ReturnType<typeof temporaryFolder>;
  close(): Promise<void>;
}

/** Writes what it is asked straight into the store. */
export class PlainRecording implements Recording {
  readonly #store: Store;
  #open: OpenBake[] = [];

  constructor(store: Store) {
    this.#store = store;
  }

  async begin(furnaceId: string, { planId, jobNumber }: { planId: number; jobNumber: string | null }) {
    if (this.#open.some(({ bake }) => bake.furnaceId === furnaceId))
      throw new DaemonError("conflict", `${furnaceId} has an open bake already. Close it first.`);
    const plan = await this.#store.plans.get(planId);
    if (!plan) throw new DaemonError("not-found", `There is no plan ${planId}.`);
    const state = "waiting" as const;
    const startedAtEpochMilliseconds = 1_760_000_000_000;
    const id = await this.#store.bakes.create({
      furnaceId,
      plan,
      jobNumber,
      state,
      startedAtEpochMilliseconds,
      restCelsius: null,
    });
    const detail = await this.#store.bakes.detail(id);
    if (detail) this.#open = [...this.#open, { bake: detail.bake, plan, comparison: null }];
  }

  async assign(bakeId: number, patch: Parameters<Recording["assign"]>[1]) {
    const { planId, ...change } = patch;
    const plan = planId === undefined || planId === null ? planId : await this.#store.plans.get(planId);
    if (planId && !plan) throw new DaemonError("not-found", `There is no plan ${planId}.`);
    await this.#store.bakes.update(bakeId, { ...change, plan });
  }

  async closeBake(bakeId: number) {
    const samples = await this.#store.bakes.samples(bakeId);
    await this.#store.bakes.close(bakeId, {
      lengthSeconds: samples.at(-1)?.atSeconds ?? 0,
      peakCelsius: null,
      gapSeconds: 0,
      comparison: null,
    });
    this.#open = this.#open.filter(({ bake }) => bake.id !== bakeId);
  }

  grade(bakeId: number, request: Parameters<Recording["grade"]>[1]) {
    return this.#store.bakes.addGrade(bakeId, request);
  }

  openBakes() {
    return this.#open;
  }
}

export const FURNACE: Furnace = {
  id: "furnace-1",
  name: "Furnace 1",
  port: null,
  baudRate: 9600,
  format: "auto",
  isDemonstration: false,
};

/** Opens a kiosk on a free port of the loopback. */
export async function openKioskHouse(): Promise<KioskHouse> {
  const data = temporaryFolder();
  const kioskFolder = temporaryFolder();
  const store = await openStore(`${data.path}/test.sqlite`);
  const recording = new PlainRecording(store);
  const openedPorts: string[] = [];
  const begun: BakeDetail[] = [];
  const lines = new FurnaceLines({
    clock: systemClock,
    onReading: () => {},
    onChange: () => {},
    onTrouble: () => {},
    openBakeId: (id) => recording.openBakes().find(({ bake }) => bake.furnaceId === id)?.bake.id ?? null,
    linkFor: ({ address, format }) => {
      openedPorts.push(address);
      return { start: () => {}, close: async () => {}, status: { ...QUIET_LINK, format } };
    },
  });
  await store.furnaces.save(FURNACE);
  await lines.set(FURNACE);
  const parts: HttpParts = {
    store,
    recording,
    lines,
    log: pino({ level: "silent" }),
    kioskFolder: kioskFolder.path,
    onBegun: (_, bake) => begun.push(bake),
    onPlansChanged: async () => {},
  };
  const server = kioskServer(parts);
  server.listen(0, "127.0.0.1");
  await once(server, "listening");
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    server,
    store,
    lines,
    recording,
    openedPorts,
    begun,
    kioskFolder,
    async close() {
      server.close();
      server.closeAllConnections();
      await lines.close();
      await store.close();
      data.remove();
      kioskFolder.remove();
    },
  };
}

const QUIET_LINK = {
  kind: "opening" as const,
  sinceEpochMilliseconds: 0,
  message: null,
  acceptedLines: 0,
  refusedLines: 0,
  overlongLines: 0,
  lastRefusedLine: null,
};
