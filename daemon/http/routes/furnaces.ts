import { Router } from "express";
import { toleranceClasses } from "#core/thermocouple/tolerance";
import { portAddress } from "#daemon/config";
import { DaemonError } from "#daemon/errors";
import type { HttpParts } from "#daemon/http/parts";
import { requestBody } from "#daemon/http/refusal";
import { parsed } from "#daemon/input";
import { parseFormat } from "#daemon/link/formats/formats";
import { furnaceExperience } from "#daemon/recording/furnace-experience";
import { type Furnace, furnaceIdSchema } from "#shared/furnace";
import { type Probe, UNKNOWN_PROBE } from "#shared/probe";
import { beginRequestSchema, furnaceRequestSchema } from "#shared/requests";

type ProbeRequest = ReturnType<typeof furnaceRequestSchema.parse>["probe"];

const MOST_FURNACES = 32;
const PORT_FORM = /^(?:\/|tcp:\/\/|file:\/)/;

/** `/api/furnaces`: who is heard where, and *Begin*. */
export function furnaceRoutes({ store, recorder, lines, onBegun }: HttpParts): Router {
  const router = Router();

  router.put("/:id", async (request, response) => {
    const id = parsed(furnaceIdSchema, request.params.id, "The furnace's id");
    const asked = requestBody(furnaceRequestSchema, request);
    const known = lines.furnace(id);
    if (!known && lines.statuses().length >= MOST_FURNACES)
      throw new DaemonError("conflict", `There are ${MOST_FURNACES} furnaces already: change one of them.`);
    const port = checkedPort(asked.port);
    const format = checkedFormat(asked.format);
    const furnace = await store.furnaces.change(id, (kept = known) => ({
      ...asked,
      id,
      port,
      format,
      probe: probeAfter(kept?.probe ?? UNKNOWN_PROBE, asked.probe),
      checkDueEpochMilliseconds: kept?.checkDueEpochMilliseconds ?? null,
      isDemonstration: kept?.isDemonstration ?? false,
    }));
    const heard = lines.furnace(id);
    if (heard && isHeardAlike(heard, furnace)) lines.describe(furnace);
    else await lines.set(furnace);
    response.json(lines.status(id));
  });

  router.get("/:id/experience", async (request, response) => {
    const id = parsed(furnaceIdSchema, request.params.id, "The furnace's id");
    if (!lines.furnace(id)) throw new DaemonError("not-found", `There is no furnace ${id}. Add it first.`);
    response.json(await furnaceExperience(store, id));
  });

  router.post("/:id/begin", async (request, response) => {
    const id = parsed(furnaceIdSchema, request.params.id, "The furnace's id");
    const asked = requestBody(beginRequestSchema, request);
    const detail = await recorder.begin(id, asked);
    onBegun(id, detail);
    response.json(detail);
  });
  return router;
}

/** Whether a furnace's line may go on: nothing changed of where and how it is heard. */
function isHeardAlike(before: Furnace, after: Furnace): boolean {
  return (["port", "baudRate", "framing", "format"] as const).every((key) => before[key] === after[key]);
}

/**
 * A probe after a request. A class that is only left over from a thermocouple of another type goes with it.
 * @throws DaemonError `input-refused` when a class is asked for that the type has not
 */
function probeAfter(before: Probe, asked: ProbeRequest = {}): Probe {
  const probe = { ...before, ...definedOf(asked) };
  const { type, toleranceClass } = probe;
  const classes = type === null ? [] : toleranceClasses(type);
  if (toleranceClass === null || classes.includes(toleranceClass)) return probe;
  if (asked.toleranceClass === undefined) return { ...probe, toleranceClass: null };
  throw new DaemonError(
    "input-refused",
    type === null
      ? `The class ${toleranceClass} is another one for each type: say the type, too`
      : `Type ${type} has no class ${toleranceClass}: choose one of ${classes.join(", ")}, or null`,
  );
}

/** What a request says, without what it leaves out. */
function definedOf<Settings extends object>(
  settings: Settings,
): { [Key in keyof Settings]-?: Exclude<Settings[Key], undefined> } {
  return Object.fromEntries(Object.entries(settings).filter(([, value]) => value !== undefined)) as never;
}

function checkedPort(port: string | null): string | null {
  if (port === null) return null;
  if (!PORT_FORM.test(port))
    throw new DaemonError(
      "input-refused",
      `"${port.slice(0, 80)}" is no port: give a path such as /dev/ttyUSB0, tcp://host:port or file:/path`,
    );
  return portAddress(port);
}

function checkedFormat(format: string): string {
  const result = parseFormat(format);
  if (result.ok) return format;
  throw new DaemonError("input-refused", `The format cannot be used: ${result.error}`);
}
