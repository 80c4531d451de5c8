import { once } from "node:events";
import type { Server } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { comparison } from "#core/compare/comparison";
import { outlook } from "#core/compare/outlook";
import { rememberedBake } from "#core/compare/remembered-bake";
import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { type Clock, systemClock } from "#daemon/clock";
import { type DaemonConfig, databaseFile } from "#daemon/config";
import { lockDataFolder } from "#daemon/data-lock";
import { writePastBakes } from "#daemon/demo-past-bakes";
import { Demonstration } from "#daemon/demonstration";
import { DaemonError } from "#daemon/errors";
import { cardsToBeginWith } from "#daemon/first-plans";
import { FurnaceLines } from "#daemon/furnace-lines";
import { kioskServer } from "#daemon/http/server";
import { isPolled, parseFormat } from "#daemon/link/formats/formats";
import type { Log } from "#daemon/log";
import { programFolder } from "#daemon/program";
import { Gateway } from "#daemon/realtime/gateway";
import { Recorder } from "#daemon/recording/recorder";
import { openStore, type Store } from "#daemon/store/store";
import type { Furnace } from "#shared/furnace";
import { UNKNOWN_PROBE } from "#shared/probe";
import { PROTOCOL_VERSION } from "#shared/protocol";
import type { KioskSnapshot } from "#shared/status";

/** A daemon that runs. */
export interface RunningDaemon {
  /** Where the kiosk is served. */
  readonly address: string;
  /** Writes what is still in memory, closes every line and the store. */
  close(): Promise<void>;
}

type Close = () => Promise<unknown>;

/**
 * Builds every part, wires it and starts it. A bake that was open when the last daemon ended goes on.
 * @throws DaemonError in one line when the data folder, the store or the address cannot be had
 */
export async function startDaemon(
  config: DaemonConfig,
  log: Log,
  clock: Clock = systemClock,
): Promise<RunningDaemon> {
  const closing: Close[] = [];
  const close = async () => {
    for (const step of closing.splice(0).reverse())
      await step().catch((error: unknown) => log.error({ err: error }, "a part did not close well"));
  };
  try {
    return { address: await openParts(config, log, clock, closing), close };
  } catch (error) {
    await close();
    throw error;
  }
}

/** @param closing gets what undoes each step, in the order of the steps */
async function openParts(config: DaemonConfig, log: Log, clock: Clock, closing: Close[]): Promise<string> {
  const lock = await lockDataFolder(config.dataFolder);
  closing.push(() => lock.release());
  const path = join(config.dataFolder, databaseFile(config.bench !== null));
  if (config.bench) await writePastBakes(path, config.bench, clock);
  const demonstration = config.bench && new Demonstration(config.dataFolder, config.bench, log);
  const store = await openStore(path, clock);
  closing.push(() => store.close());
  let { plans, materials } = await cardsToBeginWith(store);

  const recorder = new Recorder({
    store,
    clock,
    compare: comparison,
    activationEnergyJoulesPerMole: DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE,
    probeOf: (furnaceId) => lines.furnace(furnaceId)?.probe,
    ahead: { remember: rememberedBake, outlook },
    onOpenBake: (bake) => {
      gateway.bakeChanged(bake);
      tellFurnace(bake.bake.furnaceId);
    },
    onSamples: (batch) => gateway.samplesAdded(batch),
    onFinished: (bake) => {
      gateway.finished(bake);
      tellFurnace(bake.furnaceId);
    },
    onProblem: (message) => {
      log.error(message);
      gateway.problemChanged(recorder.problem);
    },
    onTrouble: (message, error) => log.warn({ err: error }, message),
    onMended: () => gateway.problemChanged(null),
  });
  const lines = new FurnaceLines({
    clock,
    onReading: (reading) => recorder.take(reading),
    onChange: (furnaceId) => tellFurnace(furnaceId),
    onTrouble: (furnaceId, message) => log.warn({ furnaceId }, message),
    probeHealth: (furnaceId) => recorder.probeHealth(furnaceId),
    openBakeId: (furnaceId) =>
      recorder.openBakes().find(({ bake }) => bake.furnaceId === furnaceId)?.bake.id ?? null,
  });
  const server = kioskServer({
    store,
    recorder,
    lines,
    log,
    kioskFolder: join(programFolder, "dist/kiosk-ui"),
    onBegun: (furnaceId, { plan }) => {
      if (plan) demonstration?.pressStart(furnaceId, plan.plan);
    },
    onPlansChanged: async () => {
      plans = await store.plans.newest();
      gateway.plansChanged(plans);
    },
    onMaterialsChanged: async () => {
      materials = await store.materials.newest();
      gateway.materialsChanged(materials);
    },
  });
  const snapshot = (): KioskSnapshot => ({
    protocolVersion: PROTOCOL_VERSION,
    sentAtEpochMilliseconds: clock.epochMilliseconds(),
    problem: recorder.problem,
    isDemonstration: lines.statuses().some(({ furnace }) => furnace.isDemonstration),
    settings: config.settings,
    furnaces: lines.statuses(),
    openBakes: recorder.openBakes(),
    plans,
    materials,
  });
  const gateway = new Gateway(server, {
    log,
    snapshot,
    samplesAfter: (bakeId, afterSequence, limit) => recorder.samplesAfter(bakeId, afterSequence, limit),
  });
  const tellFurnace = (furnaceId: string) => {
    const status = lines.status(furnaceId);
    if (status) gateway.furnaceChanged(status);
  };

  await recorder.resume();
  closing.push(() => recorder.close());
  // The lines end before the bench does, which would look like adapters pulled out.
  if (demonstration) closing.push(() => demonstration.close());
  closing.push(() => lines.close());
  const address = await listen(server, config);
  closing.push(() => {
    server.closeAllConnections();
    return gateway.close();
  });
  if (demonstration) {
    await demonstration.start({ store, lines, recorder, plans });
  } else for (const furnace of await labFurnaces(store, config)) await lines.set(furnace);
  return address;
}

/** The furnaces as kept, with what the call says about their ports; at least one, so that it can be set up. */
async function labFurnaces(store: Store, config: DaemonConfig): Promise<Furnace[]> {
  const kept = new Map((await store.furnaces.list()).map((furnace) => [furnace.id, furnace]));
  const given = config.ports.length > 0 ? config.ports : kept.size === 0 ? [null] : [];
  for (const [index, port] of given.entries()) {
    const id = `furnace-${index + 1}`;
    const before = kept.get(id);
    const format = config.format ?? before?.format ?? "auto";
    for (const other of kept.values())
      if (port && other.id !== id && other.port === port.address && !areAsked(other.format, format))
        kept.set(other.id, { ...other, port: null });
    kept.set(id, {
      id,
      name: port?.name ?? before?.name ?? `Furnace ${index + 1}`,
      port: port?.address ?? null,
      baudRate: config.baudRate ?? before?.baudRate ?? 9600,
      framing: before?.framing ?? "8N1",
      format,
      probe: before?.probe ?? UNKNOWN_PROBE,
      checkDueEpochMilliseconds: before?.checkDueEpochMilliseconds ?? null,
      isDemonstration: false,
    });
  }
  for (const furnace of kept.values()) await store.furnaces.save(furnace);
  return [...kept.values()];
}

/** Whether all of these formats are asked: such furnaces may be units of one bus, on one port. */
function areAsked(...formats: readonly string[]): boolean {
  return formats.every((spec) => {
    const parsed = parseFormat(spec);
    return parsed.ok && isPolled(parsed.format);
  });
}

async function listen(server: Server, { host, httpPort }: DaemonConfig): Promise<string> {
  server.listen(httpPort, host);
  try {
    await once(server, "listening");
  } catch (error) {
    throw listenError(error as NodeJS.ErrnoException, host, httpPort);
  }
  const { port } = server.address() as AddressInfo;
  return `http://${host.includes(":") ? `[${host}]` : host}:${port}/`;
}

function listenError(error: NodeJS.ErrnoException, host: string, port: number): DaemonError {
  const why =
    error.code === "EADDRINUSE"
      ? "another program has that port. Stop it, or choose another with --http-port."
      : error.code === "EACCES"
        ? "this user may not use that port. Choose one above 1023 with --http-port."
        : `${error.message}.`;
  return new DaemonError("address-in-use", `Cannot serve the kiosk at ${host}:${port}: ${why}`, error);
}
