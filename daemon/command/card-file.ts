import * as z from "zod";
import type { Card } from "#core/plan/card";
import { fileText, parsed, parsedJson } from "#daemon/input";
import { cardFileSchema } from "#shared/card-file";
import type { Material } from "#shared/material";
import { cardSchema, planSchema } from "#shared/plan";

const MOST_CARD_BYTES = 512 * 1024;

/** A card as it was read, with the material that its file carries. */
export interface ReadCard {
  readonly card: Card;
  readonly material: Material | null;
}

/**
 * A card from a JSON file: as it was exported, as a card alone, or as a plan alone, which is a card without
 * adaptations.
 * @throws DaemonError in one line when the file cannot be read or is none of them
 */
export async function readCardFile(path: string): Promise<ReadCard> {
  const text = await fileText(path, MOST_CARD_BYTES);
  const value = parsedJson(z.unknown(), text.replace(/^\uFEFF/, ""), path);
  if (has(value, "format")) {
    const { card, material } = parsed(cardFileSchema, value, path);
    return { card, material };
  }
  if (has(value, "plan")) return { card: parsed(cardSchema, value, path), material: null };
  return { card: { plan: parsed(planSchema, value, path), adaptations: [], limits: [] }, material: null };
}

function has(value: unknown, key: string): boolean {
  return typeof value === "object" && value !== null && key in value;
}
