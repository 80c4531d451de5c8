import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough } from "node:stream";
import { text } from "node:stream/consumers";
import { commandLine } from "#daemon/command/command-line";

/** What one call of the command line came to. */
export interface CallResult {
  readonly code: number;
  readonly out: string;
  readonly notes: string;
}

/** Calls the command line in this process: `call("plan", "check", path)`. */
export async function call(...argv: string[]): Promise<CallResult> {
  const out = new PassThrough();
  const notes = new PassThrough();
  const heard = Promise.all([text(out), text(notes)]);
  const code = await commandLine(argv, out, notes);
  out.end();
  notes.end();
  const [said, noted] = await heard;
  return { code, out: said, notes: noted };
}

/** A folder of its own for files of one test file; `remove` it afterwards. */
export function temporaryFolder(): {
  readonly path: string;
  file(name: string, content: string | Uint8Array): string;
  remove(): void;
} {
  const path = mkdtempSync(join(tmpdir(), "bakeside-test-"));
  return {
    path,
    file(name, content) {
      const file = join(path, name);
      writeFileSync(file, content);
      return file;
    },
    remove: () => rmSync(path, { recursive: true, force: true }),
  };
}
