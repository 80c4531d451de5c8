import { io, type Socket } from "socket.io-client";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { bakeDetailSchema } from "#shared/bake";
import { checkListSchema } from "#shared/check";
import { jobLedgerSchema } from "#shared/layer";
import type { DaemonEvents, PageEvents } from "#shared/protocol";
import { type KioskSnapshot, kioskSnapshotSchema, type OpenBake, openBakeSchema } from "#shared/status";
import { buildProgram, endPrograms, type Served, served } from "#tests/helpers/built-program";
import { temporaryFolder } from "#tests/helpers/call";

const folder = temporaryFolder();
let daemon: Served;
let page: Socket<DaemonEvents, PageEvents>;
let snapshot: KioskSnapshot;

beforeAll(async () => {
  await buildProgram();
  daemon = await served(folder.path, ["--demo", "--speed", "120"]);
  page = io(daemon.address, { transports: ["websocket"] });
  snapshot = kioskSnapshotSchema.parse(await new Promise((resolve) => page.once("snapshot", resolve)));
}, 120_000);

afterAll(() => {
  page?.close();
  endPrograms();
  folder.remove();
});

/** The open bake of a furnace, once it is as wanted. */
function bakeOn(furnaceId: string, isWanted: (open: OpenBake) => boolean): Promise<OpenBake> {
  return new Promise((resolve) => {
    page.on("bake", (open) => {
      if (open.bake.furnaceId === furnaceId && isWanted(open)) resolve(openBakeSchema.parse(open));
    });
  });
}

describe("a demonstration", () => {
  it("is marked as one everywhere", () => {
    expect(snapshot.isDemonstration).toBe(true);
    expect(snapshot.furnaces.map(({ furnace }) => [furnace.name, furnace.isDemonstration])).toEqual([
      ["Demo furnace 1", true],
      ["Demo furnace 2", true],
    ]);
    for (const { plan, isDemonstration } of snapshot.plans)
      expect({ name: plan.name.slice(0, 5), isDemonstration }).toEqual({
        name: "Demo ",
        isDemonstration: true,
      });
  });

  it("has invented bakes of earlier days, graded but for the newest", async () => {
    const { bakes } = await (await fetch(`${daemon.address}api/bakes`)).json();
    const past = bakes.filter((bake: { jobNumber: string }) => /^DEMO-\d+$/.test(bake.jobNumber));
    expect(past).toHaveLength(8);
    for (const [index, bake] of past.entries()) {
      expect(bake).toMatchObject({ state: "finished", isDemonstration: true });
      expect(bake.startedAtEpochMilliseconds).toBeLessThan(Date.now() - 6 * 3_600_000);
      expect(bake.heatWorkRatio).toBeGreaterThan(0.3);
      expect(bake.case).not.toBeNull();
      expect(bake.grade === null).toBe(index === 0);
    }
  });

  it("has invented materials, and says so with each", () => {
    expect(snapshot.materials.length).toBeGreaterThan(1);
    for (const { material, isDemonstration } of snapshot.materials)
      expect([material.origin.kind, isDemonstration]).toEqual(["invented", true]);
    const ids = snapshot.materials.map(({ materialId }) => materialId);
    for (const { materialId } of snapshot.plans) expect(ids).toContain(materialId);
  });

  it("has a job whose build-up was fired, then its colour, with what each layer collected", async () => {
    const ledger = jobLedgerSchema.parse(await (await fetch(`${daemon.address}api/jobs/DEMO-002`)).json());
    expect(ledger.bakes).toHaveLength(2);
    expect(ledger.layers.map(({ name, portions }) => [name, portions.length])).toEqual([
      ["Build-up", 2],
      ["Colour", 1],
    ]);
    for (const { portions } of ledger.layers)
      for (const { chamberEquivalentSeconds, wareEquivalentSeconds } of portions) {
        expect(chamberEquivalentSeconds).toBeGreaterThan(10);
        expect(wareEquivalentSeconds).toBeGreaterThan(10);
      }
  });

  it("has invented checks of earlier months, none accepted, and one that is due", async () => {
    const checksOf = async (id: string) =>
      checkListSchema.parse(await (await fetch(`${daemon.address}api/furnaces/${id}/checks`)).json()).checks;
    const [wires, beside] = [await checksOf("furnace-1"), await checksOf("furnace-2")];
    expect(wires.map(({ request }) => request.kind)).toEqual(Array(4).fill("melting-wire"));
    expect(beside.map(({ request }) => request.kind)).toEqual(["reference"]);
    for (const check of [...wires, ...beside]) {
      expect(check).toMatchObject({ accepted: null, request: { note: "Invented", by: "Demonstration" } });
      expect(check.checkedAtEpochMilliseconds).toBeLessThan(Date.now() - 18 * 86_400_000);
    }
    expect(
      snapshot.furnaces.map(({ furnace }) => (furnace.checkDueEpochMilliseconds ?? 0) < Date.now()),
    ).toEqual([false, true]);
    expect(snapshot.furnaces[0]?.furnace.probe.correction).toBeNull();
  });

  it("bakes on the second furnace by itself", async () => {
    const open = await bakeOn("furnace-2", ({ bake }) => bake.state === "running" && bake.sampleCount > 5);
    expect(open.bake).toMatchObject({ jobNumber: "DEMO-LIVE", isDemonstration: true });
    expect(open.plan?.planId).toBe(snapshot.plans[0]?.planId);
    expect(open.plan?.sources.some(({ parts }) => parts.length > 0)).toBe(true);
    expect(open.ware).not.toBeNull();
    expect(open.window?.highLayer).toBe("Build-up");
    const ahead = await bakeOn("furnace-2", ({ outlook }) => (outlook?.learnedFromBakes ?? 0) > 0);
    expect(ahead.outlook?.asGoing.lowRatio).toBeLessThan(ahead.outlook?.asGoing.highRatio ?? 0);
  });

  it("fires what is begun in the kiosk, and judges it", async () => {
    const finished = new Promise<number>((resolve) => {
      page.on("finished", (bake) => {
        if (bake.furnaceId === "furnace-1") resolve(bake.id);
      });
    });
    const response = await fetch(`${daemon.address}api/furnaces/furnace-1/begin`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ planId: snapshot.plans[1]?.planId, jobNumber: "T-1" }),
    });
    expect(response.status).toBe(200);
    const begun = bakeDetailSchema.parse(await response.json());
    const detail = bakeDetailSchema.parse(
      await (await fetch(`${daemon.address}api/bakes/${await finished}`)).json(),
    );
    expect(detail.bake.id).toBe(begun.bake.id);
    expect(detail.bake).toMatchObject({ state: "finished", jobNumber: "T-1" });
    expect(detail.comparison?.heatWork.ratio).toBeGreaterThan(0.5);
    expect(detail.comparison?.heatWork.ratio).toBeLessThan(2);
    expect(Math.abs((detail.bake.peakCelsius ?? 0) - 760)).toBeLessThan(20);
  }, 90_000);

  it("goes when it is told to, and takes its bench along", async () => {
    daemon.child.kill("SIGTERM");
    expect(await daemon.end).toMatchObject({ code: 0 });
  });
});
