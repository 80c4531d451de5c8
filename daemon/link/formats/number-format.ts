import { type FieldWord, fieldChannels, type LineResult } from "#daemon/link/formats/fields";

/** One number a line, such as `512.4` or `512.4 °C`. */
export interface NumberFormat {
  readonly kind: "number";
  readonly field: FieldWord;
}

/** What a line of one number says. */
export function readNumberLine({ field }: NumberFormat, line: string): LineResult {
  return fieldChannels([{ word: field, name: field, text: line.trim() }], true);
}
