import * as z from "zod";
import type { KioskRequests } from "#kiosk-ui/kiosk-client";
import type { CardFile } from "#shared/card-file";
import { type Material, type MaterialRevision, materialRevisionSchema } from "#shared/material";
import { type Card, type PlanRevision, planRevisionSchema } from "#shared/plan";
import { experienceSchema, type FurnaceExperience } from "#shared/requests";

/** What the place Plans asks of the daemon; every refusal is an `Error` with one line to show. */
export type PlanDesk = Pick<KioskRequests, "ask">;

const revisionsSchema = z.object({ revisions: z.array(planRevisionSchema) });
const importedSchema = z.object({ plan: planRevisionSchema, material: materialRevisionSchema.nullable() });

/** Saves a card: the next revision of a plan, or a new one where there is none yet. */
export function saveCard(desk: PlanDesk, planId: number | null, card: Card): Promise<PlanRevision> {
  const path = planId === null ? "/api/plans" : `/api/plans/${planId}/revisions`;
  return desk.ask(path, planRevisionSchema, { card });
}

/** Every revision of a card, newest first. */
export async function cardRevisions(desk: PlanDesk, planId: number): Promise<readonly PlanRevision[]> {
  return (await desk.ask(`/api/plans/${planId}/revisions`, revisionsSchema)).revisions;
}

/** A card of its own with the same content. */
export function copyCard(desk: PlanDesk, planId: number, name: string): Promise<PlanRevision> {
  return desk.ask(`/api/plans/${planId}/copy`, planRevisionSchema, { name });
}

/** Takes a card out of what is offered, or brings it back. */
export function retireCard(desk: PlanDesk, planId: number, isRetired: boolean): Promise<PlanRevision> {
  return desk.ask(`/api/plans/${planId}/retired`, planRevisionSchema, { isRetired });
}

/** Where a card's file is fetched. */
export function cardFilePath(planId: number): string {
  return `/api/plans/${planId}/file`;
}

/** Brings a card from a file, with its material where the lab has none like it. */
export async function importCard(desk: PlanDesk, file: CardFile): Promise<PlanRevision> {
  return (await desk.ask("/api/plans/import", importedSchema, file)).plan;
}

/** Saves a material: its next revision, or a new one. */
export function saveMaterial(
  desk: PlanDesk,
  materialId: number | null,
  material: Material,
): Promise<MaterialRevision> {
  const path = materialId === null ? "/api/materials" : `/api/materials/${materialId}/revisions`;
  return desk.ask(path, materialRevisionSchema, { material });
}

/** Takes a material out of what is offered, or brings it back. */
export function retireMaterial(
  desk: PlanDesk,
  materialId: number,
  isRetired: boolean,
): Promise<MaterialRevision> {
  return desk.ask(`/api/materials/${materialId}/retired`, materialRevisionSchema, { isRetired });
}

/** What a furnace's earlier bakes tell for a new one. */
export function furnaceExperience(desk: PlanDesk, furnaceId: string): Promise<FurnaceExperience> {
  return desk.ask(`/api/furnaces/${furnaceId}/experience`, experienceSchema);
}

/** The one line of a refusal. */
export function refusalLine(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
