import { type FieldWord, fieldChannels, type LineResult } from "#daemon/link/formats/fields";

/** What stands between two columns; `any` takes the first of the others that gives the right number. */
export type Separator = "any" | "semicolon" | "tab" | "comma" | "space";

/** Columns in a fixed order, such as `123.0;512.4;1013.2`. */
export interface ColumnsFormat {
  readonly kind: "columns";
  readonly fields: readonly FieldWord[];
  readonly separator: Separator;
}

const patterns: Readonly<Record<Exclude<Separator, "any">, RegExp>> = {
  semicolon: /;/,
  tab: /\t/,
  comma: /,/,
  space: /\s+/,
};

/** The separators by name, in the order in which `any` tries them. */
export const SEPARATORS = Object.keys(patterns) as readonly Exclude<Separator, "any">[];

/**
 * A line cut into its columns; a separator at the very end adds no column.
 * @example splitColumns("123.0;512.4;", "semicolon") // ["123.0", "512.4"]
 */
export function splitColumns(line: string, separator: Exclude<Separator, "any">): string[] {
  const columns = line
    .trim()
    .split(patterns[separator])
    .map((column) => column.trim());
  if (columns.length > 1 && columns.at(-1) === "") columns.pop();
  return columns;
}

/** What a line of columns says; a line with more or fewer columns than the format is refused. */
export function readColumnsLine({ fields, separator }: ColumnsFormat, line: string): LineResult {
  const separators = separator === "any" ? SEPARATORS : [separator];
  const splits = separators.map((name) => ({ name, columns: splitColumns(line, name) }));
  const split = splits.find(({ columns }) => columns.length === fields.length);
  if (!split) return { ok: false, why: `${columnCount(splits)} columns where ${fields.length} belong` };
  const texts = fields.map((word, index) => ({
    word,
    name: `column ${index + 1}`,
    text: split.columns[index] ?? "",
  }));
  return fieldChannels(texts, split.name !== "comma");
}

function columnCount(splits: readonly { readonly columns: readonly string[] }[]): number {
  return Math.max(...splits.map(({ columns }) => columns.length));
}
