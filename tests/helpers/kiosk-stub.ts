import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import express from "express";
import { Server } from "socket.io";
import type { BakeDetail, BakeSummary } from "#shared/bake";
import type { Check } from "#shared/check";
import type { FurnaceStatus, LinkStatus } from "#shared/furnace";
import type { Grade } from "#shared/grade";
import { listenRequestSchema } from "#shared/listening";
import { type Probe, probeSchema, UNKNOWN_PROBE } from "#shared/probe";
import { type DaemonEvents, type PageEvents, PROTOCOL_VERSION } from "#shared/protocol";
import {
  bakeFilterSchema,
  bakePatchSchema,
  beginRequestSchema,
  furnaceRequestSchema,
  gradeRequestSchema,
} from "#shared/requests";
import type { Sample } from "#shared/sample";
import type { SensorFault } from "#shared/sensor-fault";
import type { KioskSettings, KioskSnapshot, OpenBake } from "#shared/status";
import { NOTHING_KNOWN } from "#tests/helpers/kiosk-messages";
import { MADE_UP_PORTS, madeUpListenAnswer } from "#tests/helpers/listen-answers";
import {
  madeUpBakePlan,
  madeUpComparison,
  madeUpFault,
  madeUpPlans,
  madeUpTrace,
} from "#tests/helpers/made-up-bakes";
import { addCardRoutes } from "#tests/helpers/made-up-cards";
import {
  addCheckRoutes,
  correctedProbe,
  MADE_UP_PROBE,
  madeUpChecks,
  madeUpMelt,
} from "#tests/helpers/made-up-checks";
import { addJobRoutes, madeUpCards, madeUpMaterials } from "#tests/helpers/made-up-jobs";
import {
  addGlassRoutes,
  fittedPlan,
  knownOfOpenBake,
  MADE_UP_CASE,
  MADE_UP_LAYERS,
} from "#tests/helpers/made-up-outlook";

/** Which moment of a lab's day the stub shows when a page comes. */
export type StubScene =
  | "empty"
  | "idle"
  | "waiting"
  | "running"
  | "running-without-plan"
  | "finished"
  | "melting"
  /** Running, with its thermocouple open since a minute or so; both past and coming bakes know faults. */
  | "faulty";

/** How a stub is set up; everything has a default. */
export interface StubOptions {
  readonly scene?: StubScene;
  /** Seconds of the open bake that are already there. */
  readonly atSeconds?: number;
  /** Bake seconds per second; 0 stands still. */
  readonly speed?: number;
  readonly port?: number;
  readonly furnaceCount?: number;
  readonly settings?: Partial<KioskSettings>;
  /** How long a port is heard, ms. */
  readonly listenMilliseconds?: number;
  /** Furnace 1 has a probe with half a year of checks, one of them accepted; furnace 2 a fault and an overdue check. */
  readonly hasChecks?: boolean;
  /** What goes into the furnace is known: its case, layers and window, where it is going, and its ware. */
  readonly isCaseKnown?: boolean;
  /** The lab keeps cards with adaptations, materials and jobs; job 4417 has had one bake. */
  readonly hasCards?: boolean;
  /** What is wrong while the scene is `faulty`; an open thermocouple without it. */
  readonly fault?: SensorFault["kind"];
  /** Where the built kiosk lies. */
  readonly kioskFolder?: string;
}

/** A made-up daemon on the loopback: the built kiosk, its events and its requests, over synthetic bakes. */
export interface KioskStub {
  readonly address: string;
  /** Lets the open bake grow to a moment at once, in one volatile batch. */
  growTo(atSeconds: number): void;
  /** Sends a batch of the open bake that the page has no way to fit without asking for the rest. */
  leaveHole(): void;
  /** From now on no readings are sent, as when a probe is pulled. */
  fallSilent(): void;
  /** Drops every socket; with `stay` the stub also stops listening. */
  dropPages(): void;
  finish(): void;
  close(): Promise<void>;
}

interface StoredBake {
  bake: BakeSummary;
  samples: readonly Sample[];
  grades: Grade[];
  note: string | null;
}

const HZ = 4;

/** What past bakes were recorded with: some checked, some with a fault, some of before probes were kept. */
function recordOf(id: number): Pick<BakeDetail, "probe" | "sensorFaults"> {
  if (id % 5 === 0) return { probe: null, sensorFaults: [] };
  return {
    probe: id % 2 === 0 ? MADE_UP_PROBE : CHECKED_PROBE,
    sensorFaults:
      id % 4 === 0
        ? [
            madeUpFault("spikes", { readings: 3, episodes: 3, celsius: 1210 }),
            madeUpFault("intermittent", { seconds: 41, readings: 164, celsius: 498, needsPerson: true }),
          ]
        : [],
  };
}

const CHECKED_PROBE: Probe = {
  ...MADE_UP_PROBE,
  correction: {
    checkId: 4,
    acceptedAtEpochMilliseconds: Date.now() - 68 * 86_400_000,
    acceptedBy: "MK",
    points: [{ readingCelsius: 959.7, correctionKelvin: 2.1 }],
    expandedUncertaintyKelvin: 1.8,
    coverageFactor: 2,
  },
};
const goodLink: LinkStatus = {
  kind: "listening",
  sinceEpochMilliseconds: 0,
  message: null,
  acceptedLines: 48_213,
  refusedLines: 3,
  overlongLines: 0,
  unanswered: 0,
  lastRefusedLine: "T=7x4.1",
  format: "delimited , celsius hectopascals",
};

/** A furnace that was just added, and speaks at once. */
function newlyHeard(id: string): FurnaceStatus {
  return {
    furnace: {
      id,
      name: id,
      port: null,
      baudRate: 9600,
      framing: "8N1",
      format: "auto",
      probe: UNKNOWN_PROBE,
      checkDueEpochMilliseconds: null,
      isDemonstration: true,
    },
    link: { ...goodLink, sinceEpochMilliseconds: Date.now(), refusedLines: 0, lastRefusedLine: null },
    latest: { sample: { celsius: 512.4 }, receivedAtEpochMilliseconds: Date.now() },
    sensorFaults: [],
    openBakeId: null,
  };
}

/** What is known of the probes of a lab that checks them. */
function setUpProbes(furnaces: FurnaceStatus[], checks: readonly Check[]): void {
  const accepted = checks.find((check) => check.accepted);
  const [first, second] = furnaces;
  if (first && accepted)
    furnaces[0] = {
      ...first,
      furnace: {
        ...first.furnace,
        probe: correctedProbe(MADE_UP_PROBE, accepted),
        checkDueEpochMilliseconds: Date.now() + 17 * 86_400_000,
      },
    };
  if (second)
    furnaces[1] = {
      ...second,
      furnace: {
        ...second.furnace,
        probe: { ...MADE_UP_PROBE, type: "K", toleranceClass: "iec-1", positionKelvin: null },
        checkDueEpochMilliseconds: Date.now() - 9 * 86_400_000,
      },
      sensorFaults: [MADE_UP_FAULT],
    };
}

const MADE_UP_FAULT: SensorFault = {
  kind: "intermittent",
  isActive: true,
  episodes: 3,
  readings: 41,
  seconds: 41,
  firstAtSeconds: 100,
  lastAtSeconds: 400,
  celsius: 498,
  likelyType: null,
  needsPerson: true,
};

/** Starts a stub; see `KioskStub`. */
export async function startKioskStub(options: StubOptions = {}): Promise<KioskStub> {
  const { scene = "running", speed = 10, furnaceCount = 2 } = options;
  const plans = scene === "empty" ? [] : options.hasCards ? madeUpCards() : madeUpPlans();
  const materials = scene !== "empty" && options.hasCards ? madeUpMaterials() : [];
  const startedAt = Date.now();
  let silent = false;
  let grown = 0;
  const furnaces: FurnaceStatus[] = Array.from(
    { length: scene === "empty" ? 0 : furnaceCount },
    (_, index) => ({
      furnace: {
        id: `furnace-${index + 1}`,
        name: `Furnace ${index + 1}`,
        port: index === 0 ? "/dev/serial/by-id/usb-demo-0" : `tcp://127.0.0.1:${7000 + index}`,
        baudRate: 9600,
        framing: "8N1",
        format: "auto",
        probe: UNKNOWN_PROBE,
        checkDueEpochMilliseconds: null,
        isDemonstration: true,
      },
      link:
        index === 2
          ? {
              ...goodLink,
              kind: "absent",
              message:
                "No port /dev/serial/by-id/usb-demo-2. Plug the adapter in, or choose another port in Upkeep.",
            }
          : { ...goodLink, sinceEpochMilliseconds: startedAt },
      latest:
        index === 2
          ? null
          : {
              sample: { celsius: index === 0 ? 502.4 : 498.1, hectopascals: 1013 },
              receivedAtEpochMilliseconds: startedAt,
            },
      sensorFaults: [],
      openBakeId: null,
    }),
  );

  const checks = new Map(options.hasChecks ? [["furnace-1", madeUpChecks(startedAt)]] : []);
  if (options.hasChecks) setUpProbes(furnaces, checks.get("furnace-1") ?? []);

  const stored = new Map<number, StoredBake>();
  const gradeOf = [
    null,
    "right",
    "right",
    "milky",
    "right",
    "glassy",
    "right",
    null,
    "right",
    "raw",
    "right",
    "right",
  ] as const;
  for (let index = 0; index < (scene === "empty" ? 0 : 24); index++) {
    const id = index + 1;
    const plan = plans[index % plans.length];
    const samples = madeUpTrace(plan?.plan ?? null, {
      seed: id,
      slowness: (index % 5) * 0.6,
      overshootKelvin: index % 4,
    });
    const comparison = plan ? madeUpComparison(plan.plan, samples, true, recordOf(id).probe) : null;
    const grade = gradeOf[index % gradeOf.length] ?? null;
    const startedAtEpochMilliseconds = startedAt - (24 - index) * 5_400_000;
    stored.set(id, {
      bake: summary({
        id,
        furnaceIndex: index % 2,
        plan: plan ?? null,
        samples,
        state: "finished",
        startedAtEpochMilliseconds,
        jobNumber: index % 6 === 4 ? null : `${4390 + index}`,
        grade,
        comparison,
      }),
      samples,
      grades: grade
        ? [
            {
              bakeId: id,
              grade,
              note: null,
              by: null,
              gradedAtEpochMilliseconds: startedAtEpochMilliseconds + 1_800_000,
            },
          ]
        : [],
      note: null,
    });
  }

  let open: {
    id: number;
    planId: number | null;
    full: readonly Sample[];
    jobNumber: string | null;
    state: "waiting" | "running";
  } | null = null;

  function planById(planId: number | null) {
    return plans.find((plan) => plan.planId === planId) ?? null;
  }

  function summary(from: {
    id: number;
    furnaceIndex: number;
    plan: KioskSnapshot["plans"][number] | null;
    samples: readonly Sample[];
    state: BakeSummary["state"];
    startedAtEpochMilliseconds: number;
    jobNumber: string | null;
    grade: BakeSummary["grade"];
    comparison: BakeDetail["comparison"];
  }): BakeSummary {
    return {
      id: from.id,
      furnaceId: `furnace-${from.furnaceIndex + 1}`,
      furnaceName: `Furnace ${from.furnaceIndex + 1}`,
      planId: from.plan?.planId ?? null,
      planRevision: from.plan?.revision ?? null,
      planName: from.plan?.plan.name ?? null,
      jobNumber: from.jobNumber,
      state: from.state,
      startedAtEpochMilliseconds: from.startedAtEpochMilliseconds,
      lengthSeconds: from.samples.at(-1)?.atSeconds ?? 0,
      sampleCount: from.samples.length,
      peakCelsius: from.comparison?.peakCelsius ?? null,
      heatWorkRatio: from.comparison?.heatWork.ratio ?? null,
      equivalentOffsetKelvin: from.comparison?.heatWork.equivalentOffsetKelvin ?? null,
      gapSeconds: 0,
      grade: from.grade,
      isDemonstration: true,
      case: options.isCaseKnown || options.hasCards ? MADE_UP_CASE : null,
    };
  }

  function bakePlan(plan: KioskSnapshot["plans"][number]) {
    return options.isCaseKnown ? fittedPlan(madeUpBakePlan(plan)) : madeUpBakePlan(plan);
  }

  function openBake(): OpenBake | null {
    if (!open) return null;
    const plan = planById(open.planId);
    const samples = open.full.slice(0, grown);
    const comparison =
      plan && open.state === "running" ? madeUpComparison(plan.plan, samples, false, MADE_UP_PROBE) : null;
    const bake = summary({
      id: open.id,
      furnaceIndex: 0,
      plan,
      samples,
      state: open.state,
      startedAtEpochMilliseconds: startedAt,
      jobNumber: open.jobNumber,
      grade: null,
      comparison,
    });
    return {
      bake,
      plan: plan && bakePlan(plan),
      comparison,
      probe: MADE_UP_PROBE,
      sensorFaults: openFaults(),
      ...(options.isCaseKnown && plan ? knownOfOpenBake(samples, comparison) : NOTHING_KNOWN),
    };
  }

  function openFaults(): SensorFault[] {
    return scene === "faulty"
      ? [madeUpFault("spikes", { readings: 3, episodes: 3, celsius: 1210 }), ...lastingFaults()]
      : [];
  }

  /** What is wrong with furnace 1 now. */
  function lastingFaults(): SensorFault[] {
    if (scene !== "faulty") return [];
    const lasts = { isActive: true, seconds: 33, readings: 33, needsPerson: true };
    return [
      madeUpFault(
        options.fault ?? "open-circuit",
        options.fault && options.fault !== "open-circuit" ? { ...lasts, celsius: 31.2 } : lasts,
      ),
    ];
  }

  function begin(planId: number | null, jobNumber: string | null, state: "waiting" | "running") {
    const plan = planById(planId);
    open = {
      id: 100 + stored.size,
      planId,
      jobNumber,
      state,
      full: madeUpTrace(plan?.plan ?? plans[0]?.plan ?? null, { seed: 7, slowness: 2.2, overshootKelvin: 3 }),
    };
    if (scene === "melting") open.full = madeUpMelt();
    grown = state === "waiting" ? 0 : Math.min(open.full.length, Math.round((options.atSeconds ?? 690) * HZ));
    setLatest();
  }

  /** An instrument that says of its probe that it is open still speaks, but gives no temperature. */
  function isWithoutNumber() {
    return scene === "faulty" && (options.fault ?? "open-circuit") === "open-circuit";
  }

  function setLatest() {
    const first = furnaces[0];
    if (!first) return;
    const sample = open?.full[grown - 1];
    const celsius = sample?.celsius ?? 502.4 + Math.sin(Date.now() / 3000);
    furnaces[0] = {
      ...first,
      openBakeId: open?.id ?? null,
      latest: {
        sample: { celsius, hectopascals: sample?.hectopascals ?? 1013 },
        receivedAtEpochMilliseconds: isWithoutNumber() ? startedAt - 30_000 : Date.now(),
      },
      sensorFaults: lastingFaults(),
    };
  }

  function snapshot(): KioskSnapshot {
    const openNow = openBake();
    return {
      protocolVersion: PROTOCOL_VERSION,
      problem: null,
      sentAtEpochMilliseconds: Date.now(),
      isDemonstration: true,
      settings: { temperatureUnit: "celsius", millimetresPerPixel: 0.1695, ...options.settings },
      furnaces,
      openBakes: openNow ? [openNow] : [],
      plans,
      materials,
    };
  }

  const application = express();
  application.use(express.json({ limit: "100kb" }));
  application.get("/api/bakes", (request, response) => {
    const filter = bakeFilterSchema.parse(request.query);
    const found = [...stored.values()]
      .map(({ bake }) => bake)
      .filter(
        (bake) =>
          (!filter.furnaceId || bake.furnaceId === filter.furnaceId) &&
          (!filter.planId || bake.planId === filter.planId),
      )
      .filter(
        (bake) =>
          !filter.grade || (filter.grade === "none" ? bake.grade === null : bake.grade === filter.grade),
      )
      .filter((bake) => !filter.job || bake.jobNumber?.includes(filter.job))
      .sort((a, b) => b.startedAtEpochMilliseconds - a.startedAtEpochMilliseconds);
    response.json({ bakes: found.slice(filter.offset, filter.offset + filter.limit), total: found.length });
  });
  application.get("/api/bakes/:id", (request, response) => answerDetail(Number(request.params.id), response));
  application.get("/api/bakes/:id/samples", (request, response) => {
    const samples = stored.get(Number(request.params.id))?.samples ?? open?.full.slice(0, grown) ?? [];
    const every = Math.max(
      1,
      Math.ceil(samples.length / Number(request.query["maximumPoints"] ?? samples.length)),
    );
    response.json({ samples: samples.filter((_, index) => index % every === 0) });
  });
  application.post("/api/bakes/:id/grades", (request, response) => {
    const id = Number(request.params.id);
    const { grade, note = null, by = null } = gradeRequestSchema.parse(request.body);
    const found = stored.get(id);
    if (found) {
      found.grades.push({ bakeId: id, grade, note, by, gradedAtEpochMilliseconds: Date.now() });
      found.bake = { ...found.bake, grade };
    }
    answerDetail(id, response);
  });
  application.patch("/api/bakes/:id", (request, response) => {
    const patch = bakePatchSchema.parse(request.body);
    if (open) {
      if (patch.planId !== undefined) open.planId = patch.planId;
      if (patch.jobNumber !== undefined) open.jobNumber = patch.jobNumber;
      const now = openBake();
      if (now) io.emit("bake", now);
    }
    answerDetail(Number(request.params.id), response);
  });
  application.post("/api/bakes/:id/close", (request, response) => {
    finish();
    answerDetail(Number(request.params.id), response);
  });
  application.post("/api/furnaces/:id/begin", (request, response) => {
    if (open) {
      response.status(409).json({ error: "Furnace 1 has an open bake already. Close it first." });
      return;
    }
    const { planId, jobNumber = null } = beginRequestSchema.parse(request.body);
    begin(planId, jobNumber, "waiting");
    const now = openBake();
    if (now) io.emit("bake", now);
    if (furnaces[0]) io.emit("furnace", furnaces[0]);
    answerDetail(open ? (open as { id: number }).id : 0, response);
  });
  application.put("/api/furnaces/:id", (request, response) => {
    const asked = furnaceRequestSchema.parse(request.body);
    const known = furnaces.findIndex(({ furnace }) => furnace.id === request.params.id);
    const index = known >= 0 ? known : furnaces.length;
    const status = furnaces[index] ?? newlyHeard(request.params.id);
    furnaces[index] = {
      ...status,
      furnace: {
        ...status.furnace,
        ...asked,
        probe: probeSchema.parse({ ...status.furnace.probe, ...asked.probe }),
      },
    };
    io.emit("furnace", furnaces[index] ?? status);
    response.json(furnaces[index]);
  });
  if (options.isCaseKnown) addGlassRoutes(application);
  if (options.hasCards) addJobRoutes(application);
  addCardRoutes(application, {
    plans,
    materials,
    tellPlans: (newest) => io.emit("plans", newest),
    tellMaterials: (newest) => io.emit("materials", newest),
  });
  addCheckRoutes(application, {
    furnaces,
    checks,
    samples: (bakeId) => stored.get(bakeId)?.samples ?? open?.full.slice(0, grown) ?? [],
    tell: (status) => io.emit("furnace", status),
  });
  application.get("/api/ports", (_request, response) => {
    response.json({
      ports: [
        { stableName: "/dev/serial/by-id/usb-demo-0", device: "/dev/ttyUSB0", note: "USB serial adapter" },
        {
          stableName: "/dev/serial/by-id/usb-demo-2",
          device: "/dev/ttyUSB1",
          note: "USB serial adapter; no permission: add this user to the dialout group",
        },
        {
          stableName: MADE_UP_PORTS.celsius,
          device: "/dev/ttyUSB2",
          note: "USB serial adapter",
        },
        {
          stableName: MADE_UP_PORTS.millivolts,
          device: "/dev/ttyUSB3",
          note: "USB serial adapter",
        },
        { stableName: MADE_UP_PORTS.asked, device: "/dev/ttyACM0", note: "USB instrument or board" },
        { stableName: MADE_UP_PORTS.quiet, device: "/dev/ttyS0", note: "built-in serial port" },
      ],
    });
  });
  application.post("/api/listen", (request, response) => {
    const answer = madeUpListenAnswer(listenRequestSchema.parse(request.body));
    setTimeout(
      () => response.status("error" in answer ? 422 : 200).json(answer),
      options.listenMilliseconds ?? 800,
    );
  });
  application.use(
    express.static(options.kioskFolder ?? fileURLToPath(new URL("../../dist/kiosk-ui", import.meta.url))),
  );

  function answerDetail(id: number, response: express.Response) {
    const found = stored.get(id);
    const now = openBake();
    if (found) {
      const plan = planById(found.bake.planId);
      const detail: BakeDetail = {
        bake: found.bake,
        plan: plan && bakePlan(plan),
        comparison: plan ? madeUpComparison(plan.plan, found.samples, true, recordOf(id).probe) : null,
        grades: found.grades,
        note: found.note,
        layers: options.isCaseKnown ? MADE_UP_LAYERS.slice(1) : [],
        ...recordOf(id),
      };
      response.json(detail);
    } else if (now?.bake.id === id) response.json({ ...now, grades: [], note: null });
    else response.status(404).json({ error: `No bake ${id}. Look in Past bakes.` });
  }

  const server = createServer(application);
  const io = new Server<PageEvents, DaemonEvents>(server, { pingInterval: 2000, pingTimeout: 1500 });
  io.on("connection", (socket) => {
    socket.emit("snapshot", snapshot());
    socket.on("samples-after", ({ bakeId, afterSequence }, answer) => {
      const samples =
        open && open.id === bakeId
          ? open.full.slice(afterSequence + 1, Math.min(grown, afterSequence + 5001))
          : [];
      answer({
        bakeId,
        fromSequence: afterSequence + 1,
        samples: [...samples],
        isLast: afterSequence + samples.length + 1 >= grown,
      });
    });
  });

  function growTo(atSeconds: number) {
    if (!open) return;
    if (open.state === "waiting") open.state = "running";
    const from = grown;
    grown = Math.max(from, Math.min(open.full.length, Math.round(atSeconds * HZ)));
    setLatest();
    io.volatile.emit("samples", {
      bakeId: open.id,
      fromSequence: from,
      samples: open.full.slice(from, grown),
    });
    announce();
    if (grown === open.full.length) finish();
  }

  function announce() {
    const now = openBake();
    if (now) io.emit("bake", now);
    if (furnaces[0] && !silent) io.emit("furnace", furnaces[0]);
  }

  function finish() {
    const now = openBake();
    if (!open || !now) return;
    const bake: BakeSummary = { ...now.bake, state: "finished" };
    stored.set(open.id, { bake, samples: open.full.slice(0, grown), grades: [], note: null });
    open = null;
    setLatest();
    if (furnaces[0]) io.emit("furnace", furnaces[0]);
    io.emit("finished", bake);
  }

  if (scene === "waiting") begin(plans[0]?.planId ?? null, "4417", "waiting");
  if (scene === "running" || scene === "finished" || scene === "faulty")
    begin(plans[0]?.planId ?? null, "4417", "running");
  if (scene === "melting") begin(null, null, "running");
  if (scene === "running-without-plan") begin(null, null, "running");
  const timer = setInterval(() => {
    if (silent) return;
    if (open?.state === "running" && speed > 0 && !isWithoutNumber()) growTo(grown / HZ + speed / 4);
    else {
      setLatest();
      for (const status of furnaces)
        io.emit(
          "furnace",
          status.latest && !(isWithoutNumber() && status === furnaces[0])
            ? { ...status, latest: { ...status.latest, receivedAtEpochMilliseconds: Date.now() } }
            : status,
        );
    }
  }, 250);

  await new Promise<void>((resolve) => server.listen(options.port ?? 0, "127.0.0.1", resolve));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    growTo,
    leaveHole: () => {
      if (open) io.emit("samples", { bakeId: open.id, fromSequence: grown + 40, samples: [] });
    },
    fallSilent: () => {
      silent = true;
    },
    dropPages: () => {
      io.disconnectSockets(true);
    },
    finish,
    close: async () => {
      clearInterval(timer);
      await io.close();
    },
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { values } = parseArgs({
    options: {
      scene: { type: "string" },
      at: { type: "string" },
      speed: { type: "string" },
      fault: { type: "string" },
      fitted: { type: "boolean" },
      port: { type: "string" },
      cards: { type: "boolean" },
    },
  });
  const stub = await startKioskStub({
    scene: (values.scene ?? "running") as StubScene,
    atSeconds: Number(values.at ?? 690),
    speed: Number(values.speed ?? 10),
    port: Number(values.port ?? 5178),
    hasCards: values.cards ?? false,
    isCaseKnown: values.fitted ?? false,
    ...(values.fault && { fault: values.fault as SensorFault["kind"] }),
  });
  process.stdout.write(`${stub.address}\n`);
}
