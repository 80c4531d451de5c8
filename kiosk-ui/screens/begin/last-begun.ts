import * as z from "zod";
import type { SettingsKeep } from "#kiosk-ui/tokens/theme";
import { bakeCaseSchema } from "#shared/bake-case";

const lastBegunSchema = z.object({ case: bakeCaseSchema.nullable(), planId: z.number().int() });

/** What this page began last on a furnace. */
export type LastBegun = z.infer<typeof lastBegunSchema>;

const keyOf = (furnaceId: string) => `bakeside-begun-${furnaceId}`;

/** What was begun last on a furnace; null where nothing is kept, or nothing that can be read. */
export function keptLastBegun(keep: SettingsKeep, furnaceId: string): LastBegun | null {
  try {
    const kept: unknown = JSON.parse(keep.getItem(keyOf(furnaceId)) ?? "null");
    return lastBegunSchema.safeParse(kept).data ?? null;
  } catch {
    return null;
  }
}

/** Keeps what was begun; a browser that refuses to store proposes nothing the next time. */
export function keepLastBegun(keep: SettingsKeep, furnaceId: string, begun: LastBegun): void {
  try {
    keep.setItem(keyOf(furnaceId), JSON.stringify(begun));
  } catch {
    // private windows and full profiles refuse
  }
}
