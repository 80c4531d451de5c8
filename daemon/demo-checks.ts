import { checkResult } from "#daemon/measuring/check-result";
import type { Store } from "#daemon/store/store";
import { checkRequestSchema } from "#shared/check";
import type { Probe } from "#shared/probe";

const DAY_MILLISECONDS = 86_400_000;

/** Silver wires in vacuum on the first furnace, invented: the thermocouple reads a little higher each month. */
const WIRES: readonly { readonly daysAgo: number; readonly readingCelsius: number }[] = [
  { daysAgo: 124, readingCelsius: 962.5 },
  { daysAgo: 93, readingCelsius: 963 },
  { daysAgo: 61, readingCelsius: 963.6 },
  { daysAgo: 33, readingCelsius: 964.3 },
];

/** A reference thermocouple beside the second furnace's, invented. */
const REFERENCE = {
  daysAgo: 19,
  points: [
    { readingCelsius: 700.4, referenceCelsius: 701.2, referenceCorrectionKelvin: 0.3 },
    { readingCelsius: 850.1, referenceCelsius: 851.6, referenceCorrectionKelvin: 0.5 },
  ],
};

/** The next wire is due in so many days on the first furnace; on the second it has been for some. */
const DUE_IN_DAYS = { "furnace-1": 6, "furnace-2": -2 } as const;

/**
 * Gives a new demonstration some invented checks of earlier months, none of them accepted, and due dates.
 * @param at sets the wall clock of the store to an invented day, epoch ms
 */
export async function writeDemoChecks(
  store: Store,
  probe: Probe,
  nowEpochMilliseconds: number,
  at: (epochMilliseconds: number) => void,
): Promise<void> {
  for (const { daysAgo, readingCelsius } of WIRES) {
    at(nowEpochMilliseconds - daysAgo * DAY_MILLISECONDS);
    await writeCheck(store, "furnace-1", probe, {
      kind: "melting-wire",
      metal: "silver",
      atmosphere: "vacuum",
      reading: { kind: "by-hand", readingCelsius, kelvinPerMinute: 6 },
      note: "Invented",
      by: "Demonstration",
    });
  }
  at(nowEpochMilliseconds - REFERENCE.daysAgo * DAY_MILLISECONDS);
  await writeCheck(store, "furnace-2", probe, {
    kind: "reference",
    points: REFERENCE.points,
    referenceExpandedKelvin: 1.6,
    positionKelvin: 1,
    note: "Invented",
    by: "Demonstration",
  });
  at(nowEpochMilliseconds);
  for (const [id, days] of Object.entries(DUE_IN_DAYS)) {
    const furnace = await store.furnaces.get(id);
    const checkDueEpochMilliseconds = nowEpochMilliseconds + days * DAY_MILLISECONDS;
    if (furnace) await store.furnaces.save({ ...furnace, checkDueEpochMilliseconds });
  }
}

async function writeCheck(store: Store, furnaceId: string, probe: Probe, asked: unknown): Promise<void> {
  if (!(await store.furnaces.get(furnaceId))) return;
  const request = checkRequestSchema.parse(asked);
  const result = checkResult(request, probe, []);
  await store.checks.add({ furnaceId, thermocoupleType: probe.type, request, result });
}
