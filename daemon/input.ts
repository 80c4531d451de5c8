import { type FileHandle, open } from "node:fs/promises";
import type { z } from "zod";
import { DaemonError } from "#daemon/errors";

/**
 * A value from outside, checked by its schema.
 * @param what names the value for whoever has to mend it: a file, an option, `the request`
 * @throws DaemonError `input-refused`, one line with the place of the first thing that is wrong
 */
export function parsed<S extends z.ZodType>(schema: S, value: unknown, what: string): z.output<S> {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  throw new DaemonError("input-refused", `${what}: ${firstIssue(result.error)}`);
}

/**
 * JSON text as a value checked by its schema.
 * @throws DaemonError `input-refused`, one line
 */
export function parsedJson<S extends z.ZodType>(schema: S, text: string, what: string): z.output<S> {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    const why = error instanceof Error ? error.message.replace(/\s+/g, " ").slice(0, 160) : "";
    throw new DaemonError("input-refused", `${what} is not JSON: ${why}`, error);
  }
  return parsed(schema, value, what);
}

/**
 * The text of a file of bounded size.
 * @throws DaemonError `file-missing`, `file-unreadable` or `input-refused` when it is too large or not UTF-8 text
 */
export async function fileText(path: string, mostBytes: number): Promise<string> {
  const bytes = await fileBytes(path, mostBytes);
  if (bytes.includes(0))
    throw new DaemonError("input-refused", `${path} is not text: save it as UTF-8 text and try again`);
  return new TextDecoder("utf-8").decode(bytes);
}

async function fileBytes(path: string, mostBytes: number): Promise<Buffer> {
  let file: FileHandle | undefined;
  try {
    file = await open(path, "r");
    const chunks: Buffer[] = [];
    let total = 0;
    for await (const chunk of file.createReadStream({ end: mostBytes, highWaterMark: 1 << 20 })) {
      chunks.push(chunk);
      total += chunk.length;
    }
    if (total > mostBytes)
      throw new DaemonError("input-refused", `${path} is too large: ${inWords(mostBytes)} at most`);
    return Buffer.concat(chunks);
  } catch (error) {
    throw asDaemonError(error, path);
  } finally {
    await file?.close();
  }
}

function asDaemonError(error: unknown, path: string): DaemonError {
  if (error instanceof DaemonError) return error;
  const code = (error as NodeJS.ErrnoException).code;
  if (code === "ENOENT")
    return new DaemonError("file-missing", `${path} does not exist: check the name`, error);
  const why = code === "EISDIR" ? "it is a folder" : code === "EACCES" ? "permission denied" : String(code);
  return new DaemonError("file-unreadable", `Cannot read ${path}: ${why}`, error);
}

function firstIssue(error: z.ZodError): string {
  const [first, ...rest] = error.issues;
  if (!first) return "not as its schema asks";
  const more = rest.length > 0 ? ` (and ${rest.length} more)` : "";
  return `${placeOf(first.path)}${first.message}${more}`;
}

function placeOf(path: readonly PropertyKey[]): string {
  if (path.length === 0) return "";
  const words = path.map((part) => (typeof part === "number" ? `[${part + 1}]` : `.${String(part)}`));
  return `${words.join("").replace(/^\./, "")}: `;
}

function inWords(bytes: number): string {
  return bytes >= 1 << 20 ? `${bytes / (1 << 20)} MB` : `${bytes / (1 << 10)} kB`;
}
