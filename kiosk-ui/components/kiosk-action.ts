import type { Theme, UnitChoice } from "#kiosk-ui/tokens/theme";
import type { Place } from "#kiosk-ui/words";
import type { BakeCase } from "#shared/bake-case";
import type { GradeWord } from "#shared/grade";
import type { BakePatch, BeginRequest } from "#shared/requests";

/** What is being prepared on a furnace: a new bake, with what was chosen elsewhere. */
export interface Preparation {
  readonly furnaceId: string;
  /** Null where no plan was chosen yet. */
  readonly planId: number | null;
  /** What goes in; left out where nobody said. */
  readonly case?: BakeCase;
  /** The job number; left out or empty for none. */
  readonly job?: string;
}

/** What a person asked for by touch or key; the app alone carries it out. */
export type KioskAction =
  | { readonly kind: "go"; readonly place: Place }
  | { readonly kind: "open-places" }
  | { readonly kind: "show-furnace"; readonly furnaceId: string | null }
  | ({ readonly kind: "prepare" } & Preparation)
  | { readonly kind: "begin"; readonly furnaceId: string; readonly request: BeginRequest }
  | { readonly kind: "change-bake"; readonly bakeId: number; readonly patch: BakePatch }
  | { readonly kind: "close-bake"; readonly bakeId: number }
  | { readonly kind: "grade"; readonly bakeId: number; readonly grade: GradeWord }
  | { readonly kind: "looked-at"; readonly bakeId: number }
  | { readonly kind: "quiet"; readonly bakeId: number; readonly isQuiet: boolean }
  | { readonly kind: "choose-theme"; readonly theme: Theme }
  | { readonly kind: "choose-unit"; readonly unit: UnitChoice };

/** Tells the app what was asked for: a `kiosk-action` event that rises through every shadow root. */
export function act(from: EventTarget, action: KioskAction): void {
  from.dispatchEvent(new CustomEvent("kiosk-action", { detail: action, bubbles: true, composed: true }));
}

declare global {
  interface HTMLElementEventMap {
    "kiosk-action": CustomEvent<KioskAction>;
  }
}
