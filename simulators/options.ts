import { parseArgs } from "node:util";
import { z } from "zod";
import { STEPS_PER_SECOND } from "#simulators/bench-furnace";
import { LINE_FORMATS } from "#simulators/line-printer";

const wholeNumber = z.coerce.number().int();

/** What the bench is told on its command line. */
export const benchOptionsSchema = z.strictObject({
  furnaces: wholeNumber.min(1).max(16).default(2),
  /** Simulated seconds in one second of the wall. */
  speed: z.coerce.number().min(1).max(600).default(10),
  seed: wholeNumber.min(0).max(Number.MAX_SAFE_INTEGER).default(1),
  format: z.enum(LINE_FORMATS).default("pairs"),
  /** Lines in one simulated second. */
  hertz: z.coerce.number().min(0.01).max(STEPS_PER_SECOND).default(1),
  transport: z.enum(["pty", "tcp"]).default("pty"),
  /** Folder for the stable names of the pseudo-terminals. */
  links: z.string().min(1).optional(),
  /** Standard deviation of one reading, K. */
  noise: z.coerce.number().min(0).max(50).default(0.3),
  /** Prints this many whole bakes instead, and ends. */
  history: wholeNumber.min(1).max(1000).optional(),
  "history-seed": wholeNumber.min(0).max(Number.MAX_SAFE_INTEGER).default(1),
});
export type BenchOptions = z.infer<typeof benchOptionsSchema>;

/**
 * Reads the command line.
 * @returns the options, or one line that says what is wrong with which of them
 */
export function parseBenchOptions(
  argv: readonly string[],
): { readonly ok: true; readonly options: BenchOptions } | { readonly ok: false; readonly message: string } {
  try {
    const { values } = parseArgs({ args: [...argv], options: ARGUMENTS, strict: true });
    const parsed = benchOptionsSchema.safeParse(values);
    if (parsed.success) return { ok: true, options: parsed.data };
    const [issue] = parsed.error.issues;
    return { ok: false, message: `--${issue?.path.join(".")}: ${issue?.message}` };
  } catch (error) {
    return {
      ok: false,
      message: error instanceof Error ? (error.message.split("\n")[0] ?? "") : String(error),
    };
  }
}

const ARGUMENTS = Object.fromEntries(
  Object.keys(benchOptionsSchema.shape).map((name) => [name, { type: "string" as const }]),
);
