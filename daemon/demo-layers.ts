import type { BakeLayer } from "#shared/layer";
import type { MaterialRevision } from "#shared/material";

/** The layer that somebody put on before a bake of the demonstration: of its card's material; none without one. */
export function layerBefore(material: MaterialRevision | null): BakeLayer[] {
  if (!material) return [];
  return [{ name: material.material.name.includes("colour") ? "Colour" : "Build-up", material }];
}
