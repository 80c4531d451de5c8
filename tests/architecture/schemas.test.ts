import { describe, expectTypeOf, it } from "vitest";
import type { Comparison } from "#core/compare/comparison";
import type { Plan } from "#core/plan/plan";
import type { Probe } from "#core/thermocouple/probe";
import type { SensorFault } from "#core/thermocouple/sensor-faults";
import type { Sample } from "#core/trace/trace";
import type { CheckOutcome } from "#core/upkeep/accuracy-check";
import type { MeltPlateau } from "#core/upkeep/melt-plateau";
import type { CheckResult } from "#shared/check";
import type { Comparison as SharedComparison } from "#shared/comparison";
import type { Plan as SharedPlan } from "#shared/plan";
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
