import { describe, expect, it } from "vitest";
import { curveEquivalentSeconds } from "#core/heat/heat-work";
import { setpointCurve } from "#core/plan/setpoint";
import {
  jobBakesText,
  layerRows,
  uncountedRows,
  windowOfBake,
} from "#kiosk-ui/screens/past-bakes/layer-table";
import type { BakeDetail } from "#shared/bake";
import type { JobLedger } from "#shared/layer";
import { detail } from "#tests/helpers/kiosk-messages";
import { MADE_UP_LAYERS, madeUpLedger } from "#tests/helpers/made-up-outlook";

const ledger = madeUpLedger([7, 9]);
const plain = (text: string) => text.replaceAll("\u00a0", " ");

describe("the layers of a job", () => {
  it("stand with what each had in this bake and in all, against its window", () => {
    const [buildUp, glaze] = layerRows(ledger, 9, "celsius");
    expect({ ...buildUp, inAll: plain(buildUp?.inAll ?? "") }).toMatchObject({
      name: "build-up",
      material: "Sample build-up",
      inThisBake: "74\u00a0s",
      inAll: "143 s",
      byWare: "ware 84\u00a0s",
      window: "60 to 130\u00a0s at 760\u00a0°C",
      side: "excess",
    });
    expect(glaze).toMatchObject({
      inThisBake: "74\u00a0s",
      inAll: "74\u00a0s",
      window: "none stated",
      side: "unknown",
    });
  });

  it("are not yet on in a bake before they were put on", () => {
    expect(layerRows(ledger, 7, "celsius").map(({ inThisBake }) => inThisBake)).toEqual([
      "68\u00a0s",
      "not yet on",
    ]);
  });

  it("say nothing of the ware where one of the bakes does not know it", () => {
    const [buildUp] = ledger.layers;
    if (!buildUp) throw new Error("no layer");
    const [first, ...others] = buildUp.portions;
    if (!first) throw new Error("no portion");
    const portions = [{ ...first, wareEquivalentSeconds: null }, ...others];
    expect(layerRows({ ...ledger, layers: [{ ...buildUp, portions }] }, 9, "celsius")[0]?.byWare).toBe("");
  });

  it("are not counted without a job number", () => {
    expect(uncountedRows(MADE_UP_LAYERS, "celsius").map(({ name, inAll }) => [name, inAll])).toEqual([
      ["build-up", "not counted"],
      ["glaze", "not counted"],
    ]);
  });

  it("have the bakes of their job in a line, and this one among them", () => {
    expect(jobBakesText(ledger, 9)).toMatch(
      /^Bakes of job 4417: Tue 24 Nov \d\d:\d\d, 97 %; Tue 24 Nov \d\d:\d\d, 104 % \(this one\)\.$/,
    );
  });
});

describe("the window of a past bake", () => {
  const second: BakeDetail = { ...detail({ id: 9 }), layers: MADE_UP_LAYERS.slice(1) };

  /** What the plan gives the build-up, s: 325 kJ/mol at 760 °C as its material states. */
  function plannedSeconds(): number {
    if (!second.plan) throw new Error("no plan");
    return curveEquivalentSeconds(setpointCurve(second.plan.plan), {
      activationEnergyJoulesPerMole: 325_000,
      referenceCelsius: 760,
    });
  }

  it("is what the layers still wanted before it, as shares of its plan", () => {
    const window = windowOfBake(ledger, second);
    // 68.4 s had before it, of a window of 60 to 130 s
    expect(window?.lowRatio).toBe(0);
    expect(window?.highRatio).toBeCloseTo((130 - 68.4) / plannedSeconds(), 9);
    expect(window?.highLayer).toBe("build-up");
  });

  it("is the whole window in the layer's first bake", () => {
    const first: BakeDetail = { ...detail({ id: 7 }), layers: MADE_UP_LAYERS.slice(0, 1) };
    const window = windowOfBake(ledger, first);
    expect(window?.lowRatio).toBeCloseTo(60 / plannedSeconds(), 9);
    expect(window?.highRatio).toBeCloseTo(130 / plannedSeconds(), 9);
  });

  // biome-ignore format: a table reads in columns
  it.each<{ where: string; of: JobLedger; bake: BakeDetail }>([
    { where: "the bake is not the job's any more", of: madeUpLedger([7, 8]),          bake: second },
    { where: "it ran no plan",                     of: ledger,                        bake: { ...second, plan: null } },
    { where: "no layer states one",                of: { ...ledger, layers: ledger.layers.slice(1) }, bake: second },
  ])("is not known where $where", ({ of, bake }) => {
    expect(windowOfBake(of, bake)).toBeNull();
  });
});
