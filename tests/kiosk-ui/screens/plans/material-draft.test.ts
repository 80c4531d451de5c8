import { describe, expect, it } from "vitest";
import {
  type Fitted,
  materialRefusal,
  newMaterial,
  withFit,
  withPartKnown,
} from "#kiosk-ui/screens/plans/material-draft";
import { constantRows } from "#kiosk-ui/screens/plans/material-text";
import { type Material, materialSchema } from "#shared/material";

const known = (["viscosity", "packing", "closure", "window"] as const).reduce(
  (material, part) => withPartKnown(material, part, true),
  newMaterial("Paste"),
);
const fit: Fitted = {
  kind: "fitted",
  bakes: 24,
  activationEnergyJoulesPerMole: 311_234.4,
  activationEnergyInterval: { low: 268_000, high: 357_000 },
  window: { leastEquivalentSeconds: 74, mostEquivalentSeconds: 210 },
  sentence: "From 24 graded bakes.",
};

describe("a material while it is edited", () => {
  it("is one that the daemon takes, with everything known and with nothing", () => {
    expect(materialSchema.parse(known)).toEqual(known);
    expect(materialSchema.parse(newMaterial("Paste"))).toEqual(newMaterial("Paste"));
  });

  it("keeps what was known of a part that is said to be known", () => {
    const window = { leastEquivalentSeconds: 7, mostEquivalentSeconds: 8 };
    expect(withPartKnown({ ...known, window }, "window", true).window).toEqual(window);
    expect(withPartKnown({ ...known, window }, "window", false).window).toBeNull();
  });

  // biome-ignore format: a table reads in columns
  it.each<{ what: string; changes: Partial<Material>; says: RegExp | null }>([
    { what: "in order",        changes: {},                                                                    says: null },
    { what: "an empty window", changes: { window: { leastEquivalentSeconds: 60, mostEquivalentSeconds: 60 } }, says: /least must be below its most/ },
    { what: "a closure turned round", changes: { closure: { fromCelsius: 720, toCelsius: 700 } },               says: /begin to close no higher/ },
    { what: "a closure at one temperature", changes: { closure: { fromCelsius: 700, toCelsius: 700 } },         says: null },
  ])("with $what", ({ changes, says }) => {
    const material = { ...known, ...changes };
    const refusal = materialRefusal(material);
    if (says) expect(refusal).toMatch(says);
    else expect(refusal).toBeNull();
    expect(materialSchema.safeParse(material).success, "as the schema sees it").toBe(says === null);
  });
});

describe("a fit that is taken over", () => {
  it("changes energy and window, and says where they come from", () => {
    const fitted = withFit(known, fit, "Wed 25 Nov");
    expect(fitted).toMatchObject({
      activationEnergyJoulesPerMole: 311_234,
      window: { leastEquivalentSeconds: 74, mostEquivalentSeconds: 210 },
      origin: { kind: "fitted", statement: "Fitted on Wed 25 Nov from 24 graded bakes of this lab." },
      viscosity: known.viscosity,
    });
    expect(materialSchema.parse(fitted)).toEqual(fitted);
  });

  it("leaves the energy and the window that the bakes could not tell", () => {
    const fitted = withFit(known, { ...fit, activationEnergyInterval: null, window: null }, "Wed 25 Nov");
    expect(fitted.activationEnergyJoulesPerMole).toBe(known.activationEnergyJoulesPerMole);
    expect(fitted.window).toEqual(known.window);
  });
});

describe("the constants of a material", () => {
  const rows = (material: Material) =>
    Object.fromEntries(
      constantRows(material, "celsius").map(({ name, value }) => [name, value.replaceAll("\u00a0", " ")]),
    );

  it("are said with their units", () => {
    expect(rows(known)).toEqual({
      "Activation energy": "325 kJ/mol",
      "Counted at": "760 °C",
      Window: "30 to 120 s at 760 °C",
      "Pores close": "650 to 700 °C",
      Viscosity: "A −3.00, B 5000 K, T0 250 °C",
      "Surface tension": "0.30 N/m",
      Packing: "10.0 µm, 60 % solid",
    });
  });

  it("that are not known are said to be so, with what is left out then", () => {
    const [, , window] = constantRows(newMaterial("Paste"), "celsius");
    expect(window).toEqual({
      name: "Window",
      value: "",
      note: "Not known: no layer is called short or excess.",
    });
  });
});
