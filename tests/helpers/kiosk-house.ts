import { once } from "node:events";
import type { Server } from "node:http";
import type { AddressInfo } from "node:net";
import { pino } from "pino";
import { comparison } from "#core/compare/comparison";
import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { systemClock } from "#daemon/clock";
import { FurnaceLines } from "#daemon/furnace-lines";
import type { HttpParts } from "#daemon/http/parts";
import { kioskServer } from "#daemon/http/server";
import { Recorder } from "#daemon/recording/recorder";
import { openStore, type Store } from "#daemon/store/store";
import type { BakeDetail } from "#shared/bake";
import type { Furnace } from "#shared/furnace";
import { UNKNOWN_PROBE } from "#shared/probe";
import { temporaryFolder } from "#tests/helpers/call";

/** A kiosk's HTTP side over a real store, and a real recorder; its links do nothing. */
export interface KioskHouse {
  readonly address: string;
  readonly server: Server;
  readonly store: Store;
  readonly lines: FurnaceLines;
  readonly recorder: Recorder;
  /** Addresses of the links, in the order of their opening. */
  readonly openedPorts: string[];
  readonly begun: BakeDetail[];
  /** What pages were to be told anew, in order. */
  readonly changes: string[];
  readonly kioskFolder: ReturnType<typeof temporaryFolder>;
  close(): Promise<void>;
}

export const FURNACE: Furnace = {
  id: "furnace-1",
  name: "Furnace 1",
  port: null,
  baudRate: 9600,
  framing: "8N1",
  format: "auto",
  probe: UNKNOWN_PROBE,
  checkDueEpochMilliseconds: null,
  isDemonstration: false,
};

/** Opens a kiosk on a free port of the loopback. */
export async function openKioskHouse(): Promise<KioskHouse> {
  const data = temporaryFolder();
  const kioskFolder = temporaryFolder();
  const store = await openStore(`${data.path}/test.sqlite`);
  const recorder = new Recorder({
    store,
    clock: systemClock,
    compare: comparison,
    activationEnergyJoulesPerMole: DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE,
    probeOf: (furnaceId) => lines.furnace(furnaceId)?.probe,
    onOpenBake: () => {},
    onSamples: () => {},
    onFinished: () => {},
    onProblem: () => {},
    onMended: () => {},
  });
  const openedPorts: string[] = [];
  const begun: BakeDetail[] = [];
  const changes: string[] = [];
  const lines = new FurnaceLines({
    clock: systemClock,
    onReading: (reading) => recorder.take(reading),
    onChange: () => {},
    onTrouble: () => {},
    probeHealth: (id) => recorder.probeHealth(id),
    openBakeId: (id) => recorder.openBakes().find(({ bake }) => bake.furnaceId === id)?.bake.id ?? null,
    linkFor: ({ address, format }) => {
      openedPorts.push(address);
      return { start: () => {}, close: async () => {}, status: { ...QUIET_LINK, format } };
    },
  });
  await store.furnaces.save(FURNACE);
  await lines.set(FURNACE);
  const parts: HttpParts = {
    store,
    recorder,
    lines,
    log: pino({ level: "silent" }),
    kioskFolder: kioskFolder.path,
    onBegun: (_, bake) => begun.push(bake),
    onPlansChanged: async () => void changes.push("plans"),
    onMaterialsChanged: async () => void changes.push("materials"),
  };
  const server = kioskServer(parts);
  server.listen(0, "127.0.0.1");
  await once(server, "listening");
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    server,
    store,
    lines,
    recorder,
    openedPorts,
    begun,
    changes,
    kioskFolder,
    async close() {
      server.close();
      server.closeAllConnections();
      await lines.close();
      await recorder.close();
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
  unanswered: 0,
  lastRefusedLine: null,
};
