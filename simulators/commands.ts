import { StringDecoder } from "node:string_decoder";
import { z } from "zod";
import { furnaceIdSchema } from "#shared/furnace";
import { planSchema } from "#shared/plan";
import { FAULTS } from "#simulators/faults";
import { WIRE_METALS } from "#simulators/melting-wire";

/** A command longer than this is refused unread. */
export const LONGEST_COMMAND_CHARACTERS = 64 * 1024;

/** What somebody at the bench does, one JSON object a line. */
export const benchCommandSchema = z.union(
  [
    z.strictObject({ furnace: furnaceIdSchema, start: planSchema }),
    z.strictObject({ furnace: furnaceIdSchema, abort: z.literal(true) }),
    z.strictObject({ furnace: furnaceIdSchema, door: z.enum(["open", "closed"]) }),
    z.strictObject({ furnace: furnaceIdSchema, fault: z.enum(FAULTS) }),
    z.strictObject({ furnace: furnaceIdSchema, wire: z.enum(["none", ...WIRE_METALS]) }),
    z.strictObject({ speed: z.number().min(1).max(600) }),
  ],
  "no command of the bench",
);
export type BenchCommand = z.infer<typeof benchCommandSchema>;

/**
 * Reads one line from standard input.
 * @returns the command, or one line that says what is wrong
 */
export function parseBenchCommand(
  line: string,
): { readonly ok: true; readonly command: BenchCommand } | { readonly ok: false; readonly message: string } {
  if (line.length > LONGEST_COMMAND_CHARACTERS) return refused("too long", line);
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return refused("not JSON", line);
  }
  const parsed = benchCommandSchema.safeParse(value);
  return parsed.success ? { ok: true, command: parsed.data } : refused(detail(value, parsed.error), line);
}

/**
 * Splits what comes in into lines, without blank ones. What is longer than a command may be comes out cut
 * just beyond that length, to be refused; memory stays bounded.
 */
export async function* commandLines(input: AsyncIterable<Buffer | string>): AsyncGenerator<string> {
  const decoder = new StringDecoder("utf8");
  let rest = "";
  for await (const bytes of input) {
    const [first = "", ...others] = (typeof bytes === "string" ? bytes : decoder.write(bytes)).split("\n");
    const lines = [rest + first, ...others];
    rest = (lines.pop() ?? "").slice(0, LONGEST_COMMAND_CHARACTERS + 1);
    for (const line of lines) if (line.trim() !== "") yield line;
  }
  if (rest.trim() !== "") yield rest;
}

/** The most telling complaint: that of the plan, where a plan was given. */
function detail(value: unknown, error: z.ZodError): string {
  if (typeof value === "object" && value !== null && "start" in value) {
    const [issue] = planSchema.safeParse(value.start).error?.issues ?? [];
    if (issue) return `start.${issue.path.join(".")}: ${issue.message}`;
  }
  const [issue] = error.issues;
  return [issue?.path.join("."), issue?.message].filter(Boolean).join(": ");
}

function refused(why: string, line: string): { readonly ok: false; readonly message: string } {
  const shown = line.length > 80 ? `${line.slice(0, 80)}…` : line;
  return { ok: false, message: `Command refused: ${why}, in ${JSON.stringify(shown)}` };
}
