import { describe, expect, it } from "vitest";
import {
  glassGaps,
  glassLimits,
  glassReading,
  glassRows,
  lookOf,
} from "#kiosk-ui/screens/past-bakes/glass-words";
import type { BakeGlass, GlassOutcome } from "#shared/glass";
import { madeUpGlass, madeUpMaterial } from "#tests/helpers/made-up-outlook";

const glass = madeUpGlass();

/** The made-up glass with its chamber's outcome changed, and no ware. */
function byChamber(changes: Partial<GlassOutcome>): BakeGlass {
  return madeUpGlass({ chamber: { ...glass.chamber, ...changes }, ware: null });
}

function cell(glass: BakeGlass, name: string): string | undefined {
  return glassRows(glass, "celsius").find((row) => row.name === name)?.chamber;
}

const plain = (text: string | undefined) => text?.replaceAll("\u00a0", " ");

describe("what a bake would have done to a well-built layer", () => {
  it("stands for chamber and ware side by side", () => {
    const rows = glassRows(glass, "celsius").map(({ name, chamber, ware }) => [
      name,
      plain(chamber),
      plain(ware ?? ""),
    ]);
    expect(rows).toEqual([
      ["Pores closed", "at 715 °C under 45 hPa, after 11:12", "at 741 °C in air, 1013 hPa, after 12:38"],
      ["Pores left", "0.03 %, 1.1 µm in radius", "2.0 %, 3.2 µm in radius"],
      ["Looks, 1 mm thick", "clear, sends back 8 % of the light", "milky, sends back 63 % of the light"],
      ["Edges", "rounded to 87 µm", "rounded to 45 µm"],
      ["Flow length", "109 µm", "56 µm"],
      ["Heat work", "74 s at 760 °C", "32 s at 760 °C"],
    ]);
  });

  it("is read in a sentence that claims no cause", () => {
    expect(plain(glassReading(glass))).toBe(
      "By the chamber: consistent with a layer that looks clear at 1 mm. By the ware: with a layer that looks milky at 1 mm.",
    );
    expect(plain(glassReading(byChamber({})))).toBe(
      "By the chamber: consistent with a layer that looks clear at 1 mm.",
    );
    const alike = madeUpGlass({ ware: glass.ware && { ...glass.ware, outcome: glass.chamber } });
    expect(plain(glassReading(alike))).toBe(
      "By the chamber and by the ware: consistent with a layer that looks clear at 1 mm.",
    );
  });

  it("says its limits: a model, of which material, and that the ware is an estimate", () => {
    expect(plain(glassLimits(glass))).toBe(
      "Consistent with, never proof: a model of a well-built layer, 1 mm thick, with voids of one size, of Sample build-up " +
        "(its numbers are invented). The ware is an estimate, for 5.4 g of zirconia with walls of 1.1 mm.",
    );
  });

  it("says that no pressure was measured, and nothing of what air would do", () => {
    const blind = byChamber({
      closure: { atSeconds: 672, celsius: 714.9, hectopascals: null },
      porosityFraction: null,
      poreRadiusMicrometres: null,
      reflectanceFraction: null,
    });
    expect(plain(cell(blind, "Pores closed"))).toBe(
      "at 715 °C, after 11:12; the pressure then was not measured",
    );
    expect(cell(blind, "Pores left")).toBe("not known");
    expect(cell(blind, "Looks, 1 mm thick")).toBe("not known");
    expect(plain(glassReading(blind))).toBe("");
    expect(glassGaps(blind)[0]).toBe(
      "No pressure was measured as the pores closed, so nobody knows what air they locked in.",
    );
  });

  it("says of pores that never closed that the layer is not sealed", () => {
    const open = byChamber({
      closure: null,
      porosityFraction: 0.21,
      poreRadiusMicrometres: null,
      reflectanceFraction: null,
    });
    expect(cell(open, "Pores closed")).toBe("never: they stayed open");
    expect(plain(cell(open, "Pores left"))).toBe("21.0 %");
    expect(cell(open, "Looks, 1 mm thick")).toBe("not sealed");
    expect(plain(glassReading(open))).toBe("By the chamber: consistent with a layer that is not sealed.");
  });

  const nothing = {
    closure: null,
    porosityFraction: null,
    poreRadiusMicrometres: null,
    reflectanceFraction: null,
  };

  it("has the heat work alone for a material without viscosity, and says why", () => {
    const material = madeUpMaterial("Sample glaze", { viscosity: null });
    const dark = {
      ...byChamber({ ...nothing, flowLengthMicrometres: null, edgeRadiusMicrometres: null }),
      material,
    };
    expect(glassRows(dark, "celsius").map(({ name }) => name)).toEqual(["Heat work"]);
    expect(plain(glassReading(dark))).toBe("");
    expect(glassGaps(dark)).toEqual([
      "Sample glaze states no viscosity, so nothing can be said of its flow, pores and edges.",
      "What went in is not known, so the ware is not reckoned.",
    ]);
  });

  it("says nothing of the pores where the packing is not known", () => {
    const material = madeUpMaterial("Sample glaze", { packing: null });
    const loose = { ...byChamber(nothing), material };
    expect(glassRows(loose, "celsius").map(({ name }) => name)).toEqual([
      "Edges",
      "Flow length",
      "Heat work",
    ]);
    expect(glassGaps(loose)[0]).toMatch(/^How Sample glaze is packed is not known/);
  });

  it("calls hardly any pores so, and long flows millimetres", () => {
    const dense = byChamber({
      porosityFraction: 0.00002,
      poreRadiusMicrometres: null,
      flowLengthMicrometres: 1240,
    });
    expect(plain(cell(dense, "Pores left"))).toBe("less than 0.01 %");
    expect(plain(cell(dense, "Flow length"))).toBe("1.2 mm");
  });

  // R_d of a 1 mm plate, end-to-end firings of an invented glass, computed independently: as it should be,
  // under 200 hPa, with the ware 60 K too cold, and without vacuum
  // biome-ignore format: a table reads in columns
  it.each([
    { firing: "as it should be",         reflectance: 0.0832539, look: "clear" },
    { firing: "under 200 hPa",           reflectance: 0.265678,  look: "hazy" },
    { firing: "with cold ware",          reflectance: 0.625799,  look: "milky" },
    { firing: "without vacuum",          reflectance: 0.618094,  look: "milky" },
  ])("calls a firing $firing $look", ({ reflectance, look }) => {
    expect(lookOf(reflectance)).toBe(look);
  });
});
