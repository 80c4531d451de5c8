import { describe, expect, it } from "vitest";
import { layerForecasts } from "#core/heat/layer-ledger";
import { accountRow, forecastRow } from "#kiosk-ui/screens/begin/layer-rows";
import { madeUpCards, madeUpMaterials } from "#tests/helpers/made-up-jobs";

const paste = madeUpMaterials()[1]?.material;
const plan = madeUpCards()[1]?.plan;
if (!paste || !plan) throw new Error("the demonstration has lost its paste");

/** The higher-firing paste: window 60 to 230 s at 760 °C. */
function account(chamberEquivalentSeconds: number, material = paste) {
  if (!material) throw new Error("no material");
  const portion = {
    bakeId: 1,
    chamberEquivalentSeconds,
    wareEquivalentSeconds: null,
    flowLengthMicrometres: null,
  };
  return { name: "Build-up", material, portions: [portion] };
}

describe("a layer so far", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { seconds: 40,  side: "short",  isOutside: false },
    { seconds: 103, side: "right",  isOutside: false },
    { seconds: 231, side: "excess", isOutside: true },
  ])("of $seconds s is $side", ({ seconds, side, isOutside }) => {
    const row = accountRow(account(seconds), "celsius");
    expect(row).toMatchObject({ side, isOutside, text: `${seconds} s at 760\u00a0°C; window 60 to 230 s` });
    expect(row.bar?.beforeEquivalentSeconds).toBe(seconds);
  });

  it("says where no window is stated, and draws none", () => {
    const row = accountRow(account(103, { ...paste, window: null }), "fahrenheit");
    expect(row).toMatchObject({ side: "", isOutside: false, bar: null });
    expect(row.text).toBe("103 s at 1400\u00a0°F; no window stated");
  });
});

describe("a layer with the next bake", () => {
  it("is told as the sum of what it had and what comes", () => {
    const [forecast] = layerForecasts([account(103)], [], plan);
    if (!forecast) throw new Error("no forecast");
    const added = Math.round(forecast.addedEquivalentSeconds);
    const row = forecastRow(forecast, "celsius");
    expect(added).toBeGreaterThan(60);
    expect(row.text).toContain(`103 + ${added} = `);
    expect(row.bar?.addedEquivalentSeconds).toBe(forecast.addedEquivalentSeconds);
  });

  it("that is new has no sum, and calls for a person where it ends outside", () => {
    const [forecast] = layerForecasts([], [{ name: "Build-up", material: paste }], plan);
    if (!forecast) throw new Error("no forecast");
    expect(forecastRow(forecast, "celsius").text).toMatch(/^\d+ s at 760/);
    const cold = forecastRow({ ...forecast, addedEquivalentSeconds: 20 }, "celsius");
    expect(cold).toMatchObject({ side: "short", isOutside: true });
  });
});
