import type { BakeCase } from "#shared/bake-case";
import type { MaterialRevision } from "#shared/material";
import type { BeginRequest } from "#shared/requests";

/** A layer that is put on before the bake. */
export interface NewLayer {
  readonly materialId: number;
  readonly name: string;
}

/** A case of which not everything has been said; null is what somebody took back by hand. */
export type CaseInPart = { readonly [Part in keyof BakeCase]?: BakeCase[Part] | null };

/** What somebody has said so far about a bake that is to be begun. */
export interface BeginDraft {
  /** As typed or scanned. */
  readonly job: string;
  /** What was chosen by hand; it stands over every proposal. */
  readonly chosen: CaseInPart;
  /** True where the base plan is to be fired, whatever goes in. */
  readonly isWithoutCase: boolean;
  readonly layers: readonly NewLayer[];
  /** The card chosen by hand; null for the proposed one. */
  readonly planId: number | null;
}

/** Nothing said yet. */
export const emptyDraft: BeginDraft = { job: "", chosen: {}, isWithoutCase: false, layers: [], planId: null };

/** The daemon takes so many layers before one bake. */
export const MOST_LAYERS = 8;

/**
 * What goes in, as far as it is known: what was chosen over what is proposed.
 * @example caseInPart({ bake: "first", caseSize: "large" }, { caseSize: null }) // { bake: "first", caseSize: null }
 */
export function caseInPart(proposed: CaseInPart, chosen: CaseInPart): CaseInPart {
  return { ...proposed, ...chosen };
}

/**
 * What is chosen by hand after a part was pressed that stood chosen, or another: pressing what is only proposed
 * takes it, pressing what was chosen by hand takes it back.
 * @param pressed null for a part that stood chosen
 * @example chosenAfter({ bake: "first" }, {}, { bake: null }) // { bake: "first" }
 */
export function chosenAfter(proposed: CaseInPart, chosen: CaseInPart, pressed: CaseInPart): CaseInPart {
  const isOnlyProposed = (part: keyof CaseInPart) => pressed[part] === null && chosen[part] === undefined;
  return {
    ...chosen,
    ...pressed,
    ...(isOnlyProposed("framework") && { framework: proposed.framework ?? null }),
    ...(isOnlyProposed("caseSize") && { caseSize: proposed.caseSize ?? null }),
    ...(isOnlyProposed("bake") && { bake: proposed.bake ?? null }),
  };
}

/**
 * The whole case; null while a part of it is missing.
 * @example wholeCase({ framework: "metal", caseSize: "small" }) // null
 */
export function wholeCase({ framework, caseSize, bake }: CaseInPart): BakeCase | null {
  return framework && caseSize && bake ? { framework, caseSize, bake } : null;
}

/**
 * The layers with that of a material put on, or taken away where it was on.
 * @param taken names of the layers that the job has from earlier bakes
 */
export function withLayerToggled(
  layers: readonly NewLayer[],
  { materialId, material }: Pick<MaterialRevision, "materialId" | "material">,
  taken: readonly string[],
): readonly NewLayer[] {
  if (layers.some((layer) => layer.materialId === materialId))
    return layers.filter((layer) => layer.materialId !== materialId);
  if (layers.length >= MOST_LAYERS) return layers;
  return [...layers, { materialId, name: freeName(material.name, [...taken, ...layers.map(nameOf)]) }];
}

const LONGEST_NAME = 40;

/**
 * A layer's name: its material's, counted on where the job has one of that name already.
 * @example freeName("Dentine", ["Dentine", "Dentine 2"]) // "Dentine 3"
 */
export function freeName(name: string, taken: readonly string[]): string {
  for (let count = 1; ; count++) {
    const suffix = count === 1 ? "" : ` ${count}`;
    const candidate = `${name.slice(0, LONGEST_NAME - suffix.length).trim()}${suffix}`;
    if (!taken.includes(candidate)) return candidate;
  }
}

function nameOf({ name }: NewLayer): string {
  return name;
}

/** What is sent to the daemon: the card's revision as it was seen, fitted to the case. */
export function beginRequest(
  draft: BeginDraft,
  bakeCase: BakeCase | null,
  { planId, revision }: { readonly planId: number; readonly revision: number },
): BeginRequest {
  return {
    planId,
    revision,
    case: bakeCase,
    jobNumber: draft.job.trim() || null,
    layers: draft.layers.map(({ name, materialId }) => ({ name, materialId })),
  };
}
