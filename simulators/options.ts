import { parseArgs } from "node:util";
import { z } from "zod";
import { thermocoupleTypeSchema } from "#shared/probe";
import { STEPS_PER_SECOND } from "#simulators/bench-furnace";
import { LINE_FORMATS, type LineFormat } from "#simulators/line-printer";
import { POLLED_FORMATS, type PolledFormat } from "#simulators/polled-line";

const wholeNumber = z.coerce.number().int();

const shape = z.strictObject({
  furnaces: wholeNumber.min(1).max(16).default(2),
  /** Simulated seconds in one second of the wall. */
  speed: z.coerce.number().min(1).max(600).default(10),
  seed: wholeNumber.min(0).max(Number.MAX_SAFE_INTEGER).default(1),
  /** How lines are written, or questions answered; Modbus/TCP is spoken over TCP whatever the transport. */
  format: z.enum([...LINE_FORMATS, ...POLLED_FORMATS]).default("pairs"),
  /** Whether all furnaces share one line, furnace-N as unit or channel N, or each has its own, as number 1. */
  bus: z.enum(["own", "shared"]).default("own"),
  /** Readings in one simulated second. */
  hertz: z.coerce.number().min(0.01).max(STEPS_PER_SECOND).default(1),
  transport: z.enum(["pty", "tcp"]).default("pty"),
  /** The rate at which the instruments speak on a pseudo-terminal; any other hears garbage. Absent for any rate. */
  baud: wholeNumber.min(50).max(4_000_000).optional(),
  /** The type that the adapters are set for, and that healthy probes are of. */
  type: thermocoupleTypeSchema.default("K"),
  /** The element of the fault `wrong-type`. */
  "wrong-type": thermocoupleTypeSchema.optional(),
  /** Folder for the stable names of the pseudo-terminals. */
  links: z.string().min(1).optional(),
  /** Standard deviation of one reading, K. */
  noise: z.coerce.number().min(0).max(50).default(0.3),
  /** Prints this many whole bakes instead, and ends. */
  history: wholeNumber.min(1).max(1000).optional(),
  "history-seed": wholeNumber.min(0).max(Number.MAX_SAFE_INTEGER).default(1),
});

/** What the bench is told on its command line. */
export const benchOptionsSchema = shape.refine(({ bus, format }) => bus === "own" || isPolled(format), {
  path: ["bus"],
  message: `furnaces share a line only where they are asked: --format ${POLLED_FORMATS.join(", ")}`,
});
export type BenchOptions = z.infer<typeof benchOptionsSchema>;

/** Whether an instrument speaks only when it is asked. */
export function isPolled(format: LineFormat | PolledFormat): format is PolledFormat {
  return (POLLED_FORMATS as readonly string[]).includes(format);
}

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
  Object.keys(shape.shape).map((name) => [name, { type: "string" as const }]),
);
