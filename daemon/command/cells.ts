const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i;

/** What parts the cells of a line. */
export type Separator = "," | ";" | "\t";

/**
 * What parts the cells of a table, by its first line: `;` or tab where one stands in it, else a comma.
 * @example separatorOf("seconds;celsius") // ";"
 */
export function separatorOf(firstLine: string): Separator {
  if (firstLine.includes(";")) return ";";
  return firstLine.includes("\t") ? "\t" : ",";
}

/**
 * The cells of a line, trimmed, without the quotation marks around them.
 * @example cells('1, "a, b" ,2', ",") // ["1", "a, b", "2"]
 */
export function cells(line: string, separator: Separator): string[] {
  if (!line.includes('"')) return line.split(separator).map((cell) => cell.trim());
  const found: string[] = [];
  let cell = "";
  let isQuoted = false;
  for (const character of line) {
    if (character === '"') isQuoted = !isQuoted;
    else if (character === separator && !isQuoted) {
      found.push(cell.trim());
      cell = "";
    } else cell += character;
  }
  return [...found, cell.trim()];
}

/**
 * A whole cell as a number; no `0x10`, no `Infinity`.
 * @param hasDecimalComma true where a comma cannot part cells
 * @returns null for anything else
 * @example cellNumber("6,743", true) // 6.743
 */
export function cellNumber(cell: string, hasDecimalComma: boolean): number | null {
  const text = hasDecimalComma && !cell.includes(".") ? cell.replace(",", ".") : cell;
  return NUMBER.test(text) ? Number(text) : null;
}

/** Text from outside as it may stand in a message: one line, nothing that a terminal obeys, not long. */
export function printable(text: string): string {
  return text.replace(/[^\p{L}\p{N}\p{P}\p{S} ]/gu, "?").slice(0, 80);
}
