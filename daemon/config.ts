import { statSync } from "node:fs";
import { resolve } from "node:path";
import { z } from "zod";
import { callOptions } from "#daemon/command/options";
import { DaemonError } from "#daemon/errors";
import { parsed } from "#daemon/input";
import { parseFormat } from "#daemon/link/formats/formats";
import type { KioskSettings } from "#shared/status";

/** What `serve` may be told; the texts are checked by `configSchema`. */
export const SERVE_OPTIONS = {
  data: { type: "string" },
  "http-port": { type: "string" },
  host: { type: "string" },
  port: { type: "string", multiple: true },
  format: { type: "string" },
  baud: { type: "string" },
  name: { type: "string" },
  demo: { type: "boolean" },
  speed: { type: "string" },
  seed: { type: "string" },
  furnaces: { type: "string" },
  fahrenheit: { type: "boolean" },
  "pixel-millimetres": { type: "string" },
  verbose: { type: "boolean" },
} as const;

const LOOPBACK = ["127.0.0.1", "localhost", "::1"] as const;

/** Where bakes are kept when nothing else is said. */
export const DEFAULT_DATA_FOLDER = ".bakeside";

/** The file in it; what a simulated bench fires is kept apart from the real bakes. */
export function databaseFile(isDemonstration: boolean): string {
  return isDemonstration ? "demo.sqlite" : "bakeside.sqlite";
}

function whole(from: number, to: number) {
  const says = `takes a whole number from ${from} to ${to}`;
  return z
    .string()
    .regex(/^\d{1,15}$/, says)
    .transform(Number)
    .pipe(z.number().min(from, says).max(to, says));
}

function decimal(from: number, to: number) {
  const says = `takes a number from ${from} to ${to}`;
  return z
    .string()
    .regex(/^\d{1,6}(\.\d{1,6})?$/, says)
    .transform(Number)
    .pipe(z.number().min(from, says).max(to, says));
}

const formatText = z.string().superRefine((spec, context) => {
  const result = parseFormat(spec);
  if (!result.ok) context.addIssue({ code: "custom", message: result.error });
});

const configSchema = z.object({
  data: z.string().min(1).max(4096).default(DEFAULT_DATA_FOLDER),
  "http-port": whole(0, 65_535).default(8460),
  host: z
    .enum(LOOPBACK, "takes 127.0.0.1, localhost or ::1: this version serves its own screen only")
    .default("127.0.0.1"),
  port: z.array(z.string().min(1).max(300)).max(32, "at most 32 furnaces").default([]),
  format: formatText.optional(),
  baud: whole(50, 4_000_000).optional(),
  name: z.string().trim().min(1).max(36).optional(),
  demo: z.boolean().default(false),
  speed: decimal(1, 600).optional(),
  seed: whole(0, 999_999_999_999).default(1),
  furnaces: whole(1, 16).default(2),
  fahrenheit: z.boolean().default(false),
  "pixel-millimetres": decimal(0.05, 1).default(0.1695),
  verbose: z.boolean().default(false),
});

/** A line to listen to, as it was given in the call. */
export interface GivenPort {
  readonly address: string;
  /** Null leaves the name that the furnace has. */
  readonly name: string | null;
}

/** How one daemon is run. */
export interface DaemonConfig {
  readonly dataFolder: string;
  readonly host: string;
  /** 0 takes any free one. */
  readonly httpPort: number;
  readonly ports: readonly GivenPort[];
  /** How the lines of these ports read, and their speed; null leaves what is kept of the furnace. */
  readonly format: string | null;
  readonly baudRate: number | null;
  readonly isVerbose: boolean;
  readonly settings: KioskSettings;
  /** Null without a simulated bench. */
  readonly bench: { readonly furnaces: number; readonly speed: number; readonly seed: number } | null;
}

/** The bench runs this many times as fast as the wall's clock when nothing else is said. */
const USUAL_BENCH_SPEED = 10;

/**
 * The call of `serve` and the environment (`BAKESIDE_DATA`, `BAKESIDE_HTTP_PORT`, `BAKESIDE_HOST`); what the
 * call says wins.
 * @throws DaemonError `input-refused`, one line
 */
export function daemonConfig(
  args: readonly string[],
  environment: Readonly<Record<string, string | undefined>>,
): DaemonConfig {
  const { values } = callOptions("serve", args, SERVE_OPTIONS);
  const given = parsed(
    configSchema,
    {
      data: environment["BAKESIDE_DATA"],
      "http-port": environment["BAKESIDE_HTTP_PORT"],
      host: environment["BAKESIDE_HOST"],
      ...values,
    },
    "bakeside serve, option",
  );
  if (given.demo && given.port.length > 0)
    throw new DaemonError(
      "input-refused",
      "bakeside serve: --demo brings its own furnaces. Leave out --port, or leave out --demo",
    );
  return {
    dataFolder: resolve(given.data),
    host: given.host,
    httpPort: given["http-port"],
    ports: given.port.map((port, index) => ({
      address: portAddress(port, given.speed),
      name: furnaceName(given.name, index, given.port.length),
    })),
    format: given.format ?? null,
    baudRate: given.baud ?? null,
    isVerbose: given.verbose,
    settings: {
      temperatureUnit: given.fahrenheit ? "fahrenheit" : "celsius",
      millimetresPerPixel: given["pixel-millimetres"],
    },
    bench: given.demo
      ? { furnaces: given.furnaces, speed: given.speed ?? USUAL_BENCH_SPEED, seed: given.seed }
      : null,
  };
}

/**
 * A port as the house writes it: `tcp://…` and `file:…` as they are, paths from the root, a recorded file
 * with the speed of its replay.
 */
export function portAddress(port: string, speed?: number): string {
  if (/^tcp:\/\//.test(port)) return port;
  const isFileAddress = port.startsWith("file:");
  const path = isFileAddress ? port : resolve(port);
  if (!isFileAddress && !isRegularFile(path)) return path;
  const address = isFileAddress ? path : `file:${path}`;
  return speed === undefined || address.includes("?speed=") ? address : `${address}?speed=${speed}`;
}

function isRegularFile(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isFile() ?? false;
}

function furnaceName(name: string | undefined, index: number, count: number): string | null {
  if (name === undefined) return null;
  return count === 1 ? name : `${name} ${index + 1}`;
}
