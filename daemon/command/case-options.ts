import { BAKE_ORDINALS, type BakeCase, CASE_SIZES, FRAMEWORKS } from "#core/plan/bake-case";
import { wrongCall } from "#daemon/command/options";

/** What a call may say of the case. */
export const CASE_OPTIONS = {
  framework: { type: "string" },
  size: { type: "string" },
  bake: { type: "string" },
} as const;

/** The values of `CASE_OPTIONS`. */
export type CaseValues = { readonly [name in keyof typeof CASE_OPTIONS]?: string | undefined };

/**
 * The case of a call; what is not said of it is a medium first bake of a test piece. Null where nothing is said.
 * @throws DaemonError `input-refused` for a word that there is not
 */
export function caseOption(verb: string, { framework, size, bake }: CaseValues): BakeCase | null {
  if (framework === undefined && size === undefined && bake === undefined) return null;
  return {
    framework: oneOf(verb, "framework", framework ?? "none", FRAMEWORKS),
    caseSize: oneOf(verb, "size", size ?? "medium", CASE_SIZES),
    bake: oneOf(verb, "bake", bake ?? "first", BAKE_ORDINALS),
  };
}

/**
 * One of a few words, in capitals or not, with a blank or a dash between.
 * @throws DaemonError `input-refused` with the words that there are
 */
export function oneOf<Word extends string>(
  verb: string,
  name: string,
  text: string,
  words: readonly Word[],
): Word {
  const asked = text.trim().toLowerCase().replace(/\s+/g, "-");
  const found = words.find((word) => word === asked);
  if (found) return found;
  throw wrongCall(verb, `--${name} takes one of ${words.join(", ")}, not "${text.slice(0, 40)}"`);
}
