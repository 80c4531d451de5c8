import { describe, expectTypeOf, it } from "vitest";
import type { Comparison } from "#core/compare/comparison";
import type { Outlook } from "#core/compare/outlook";
import type { GlassOutcome } from "#core/heat/glass-outcome";
import type { HeatWorkWindow, LayerPortion } from "#core/heat/layer-ledger";
import type { Material } from "#core/heat/material";
import type { MaterialFit } from "#core/heat/material-fit";
import type { NumberSource } from "#core/plan/adapt";
import type { BakeCase } from "#core/plan/bake-case";
import type { Card } from "#core/plan/card";
import type { Plan } from "#core/plan/plan";
import type { Probe } from "#core/thermocouple/probe";
import type { SensorFault } from "#core/thermocouple/sensor-faults";
import type { Sample } from "#core/trace/trace";
import type { CheckOutcome } from "#core/upkeep/accuracy-check";
import type { MeltPlateau } from "#core/upkeep/melt-plateau";
import type { BakeCase as SharedBakeCase } from "#shared/bake-case";
import type { CheckResult } from "#shared/check";
import type { Comparison as SharedComparison } from "#shared/comparison";
import type { GlassOutcome as SharedGlassOutcome } from "#shared/glass";
import type { LayerPortion as SharedLayerPortion } from "#shared/layer";
import type { Material as SharedMaterial } from "#shared/material";
import type { MaterialFit as SharedMaterialFit } from "#shared/material-fit";
import type { Outlook as SharedOutlook, HeatWorkWindow as SharedWindow } from "#shared/outlook";
import type { Card as SharedCard, Plan as SharedPlan, NumberSource as SharedSource } from "#shared/plan";
import type { Probe as SharedProbe } from "#shared/probe";
import type { Sample as SharedSample } from "#shared/sample";
import type { SensorFault as SharedSensorFault } from "#shared/sensor-fault";

/** `core` never edits what it is given; what a schema has parsed could be edited. That alone may differ. */
type Fixed<T> = T extends readonly (infer Item)[]
  ? readonly Fixed<Item>[]
  : T extends object
    ? { readonly [Key in keyof T]: Fixed<T[Key]> }
    : T;

// These are held by the compiler (`tsc -b`), not by running them.
describe("core and shared mean the same", () => {
  it("by a sample", () => {
    expectTypeOf<Fixed<Sample>>().toEqualTypeOf<Fixed<SharedSample>>();
  });

  it("by a plan", () => {
    expectTypeOf<Fixed<Plan>>().toEqualTypeOf<Fixed<SharedPlan>>();
  });

  it("by a comparison", () => {
    expectTypeOf<Fixed<Comparison>>().toEqualTypeOf<Fixed<SharedComparison>>();
  });

  it("by a probe and its faults", () => {
    expectTypeOf<Fixed<Probe>>().toEqualTypeOf<Fixed<SharedProbe>>();
    expectTypeOf<Fixed<SensorFault>>().toEqualTypeOf<Fixed<SharedSensorFault>>();
  });

  it("by what a check comes to, with the plateau that the daemon keeps beside it", () => {
    type Plateau = Omit<MeltPlateau, "standardUncertaintyKelvin"> | null;
    expectTypeOf<Fixed<CheckOutcome & { plateau: Plateau }>>().toEqualTypeOf<Fixed<CheckResult>>();
  });

  it("by a card, but for the material's number, and what it is fitted to and from", () => {
    expectTypeOf<Fixed<Card>>().toEqualTypeOf<Fixed<Omit<SharedCard, "materialId">>>();
    expectTypeOf<Fixed<BakeCase>>().toEqualTypeOf<Fixed<SharedBakeCase>>();
    expectTypeOf<Fixed<NumberSource>>().toEqualTypeOf<Fixed<SharedSource>>();
  });

  it("by a material, its fit, what a bake does to its glass, and what a layer collects", () => {
    expectTypeOf<Fixed<Material>>().toEqualTypeOf<Fixed<SharedMaterial>>();
    expectTypeOf<Fixed<MaterialFit>>().toEqualTypeOf<Fixed<SharedMaterialFit>>();
    expectTypeOf<Fixed<GlassOutcome>>().toEqualTypeOf<Fixed<SharedGlassOutcome>>();
    expectTypeOf<Fixed<LayerPortion>>().toEqualTypeOf<Fixed<SharedLayerPortion>>();
  });

  it("by an outlook and the window of its heat work", () => {
    expectTypeOf<Fixed<Outlook>>().toEqualTypeOf<Fixed<SharedOutlook>>();
    expectTypeOf<Fixed<HeatWorkWindow>>().toEqualTypeOf<Fixed<SharedWindow>>();
  });

  it("and a field more, less or of another type would be seen", () => {
    // @ts-expect-error a field more
    expectTypeOf<Fixed<Sample & { doorIsOpen: boolean }>>().toEqualTypeOf<Fixed<SharedSample>>();
    // @ts-expect-error a field less
    expectTypeOf<Fixed<Omit<Sample, "hectopascals">>>().toEqualTypeOf<Fixed<SharedSample>>();
    // @ts-expect-error a field that may be absent
    expectTypeOf<Fixed<Partial<Sample>>>().toEqualTypeOf<Fixed<SharedSample>>();
    // @ts-expect-error another type, deep inside
    expectTypeOf<Fixed<Plan & { vacuum: { release: string } }>>().toEqualTypeOf<Fixed<SharedPlan>>();
  });
});
