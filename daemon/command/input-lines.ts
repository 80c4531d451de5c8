/** The longest line of standard input that is believed, characters. */
export const LONGEST_INPUT_LINE = 4096;

/** A line without its end; null for one that was too long and is not kept. */
export type InputLine = string | null;

/**
 * The lines of a stream in bounded memory, as many at a time as a chunk brings. They end at `\n`, `\r\n` or
 * `\r`; a byte order mark is passed over, bytes that are not UTF-8 become U+FFFD.
 */
export async function* inputLines(input: AsyncIterable<Uint8Array | string>): AsyncGenerator<InputLine[]> {
  const decoder = new TextDecoder("utf-8");
  let begun = "";
  let isOverlong = false;
  for await (const chunk of input) {
    const bytes = typeof chunk === "string" ? Buffer.from(chunk) : chunk;
    // A carriage return at the end may be half of a line end: it waits for the next chunk.
    const parts = (begun + decoder.decode(bytes, { stream: true })).split(/\r\n|\n|\r(?!$)/);
    const unfinished = parts.pop() ?? "";
    const lines = parts.map(notTooLong);
    if (isOverlong && lines.length > 0) lines[0] = null;
    isOverlong = (isOverlong && lines.length === 0) || unfinished.length > LONGEST_INPUT_LINE;
    begun = isOverlong ? unfinished.slice(-1).replace(/[^\r]/, "") : unfinished;
    if (lines.length > 0) yield lines;
  }
  const last = (begun + decoder.decode()).replace(/\r$/, "");
  if (isOverlong) yield [null];
  else if (last !== "") yield [last];
}

function notTooLong(line: string): InputLine {
  return line.length > LONGEST_INPUT_LINE ? null : line;
}
