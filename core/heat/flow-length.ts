import type { CurvePoint } from "#core/heat/heat-work";
import type { Material } from "#core/heat/material";

/**
 * Flow length of a curve, µm: Λ = ∫ γ/η(T) dt. Straight between corners, however far apart they are.
 * @returns null where the material states no viscosity
 */
export function flowLengthMicrometres(
  _curve: readonly CurvePoint[],
  _material: Pick<Material, "viscosity" | "surfaceTensionNewtonsPerMetre">,
): number | null {
  throw new Error("not written yet");
}
