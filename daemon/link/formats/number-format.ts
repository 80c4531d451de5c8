import { type FieldWord, fieldChannels, type LineResult } from "#daemon/link/formats/fields";

/** One number a line, such as `512.4` or `512.4 °C`. */
export interface NumberFormat {
  readonly kind: "number";
  readonly field: FieldWord;
}

/** What a line of one number says; a line of spaces says nothing, not that there is no value. */
export function readNumberLine({ field }: NumberFormat, line: string): LineResult {
  const text = line.trim();
  if (text === "") return { ok: false, why: `${field}: not a number` };
  return fieldChannels([{ word: field, name: field, text }], true);
}
