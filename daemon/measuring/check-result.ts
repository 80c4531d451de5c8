import type { Trace } from "#core/trace/trace";
import { type CheckOutcome, referenceCheck, wireCheck } from "#core/upkeep/accuracy-check";
import { FIXED_POINTS } from "#core/upkeep/fixed-points";
import { meltPlateau } from "#core/upkeep/melt-plateau";
import { readingAt } from "#core/upkeep/reading-at";
import { DaemonError } from "#daemon/errors";
import { type Check, type CheckResult, checkResultSchema } from "#shared/check";
import type { Probe } from "#shared/probe";

/** What further off is a fault and no offset, K: the most that a correction may add. */
const LARGEST_OFFSET_KELVIN = 200;

type WireRequest = Extract<Check["request"], { kind: "melting-wire" }>;

/** What was read when the wire melted. */
interface MeltReading {
  readonly readingCelsius: number;
  readonly readingStandardKelvin: number;
  readonly climbKelvinPerMinute: number;
  readonly plateau: CheckResult["plateau"];
}

/**
 * What a check comes to.
 * @param probe of the thermocouple that was checked
 * @param trace of the bake that the request names, uncorrected; empty when it names none
 * @throws DaemonError `conflict` in one line when nothing comes of it: no plateau, nothing measured
 */
export function checkResult(request: Check["request"], probe: Probe, trace: Trace): CheckResult {
  if (request.kind === "reference") return kept(referenceCheck({ ...request, probe }), null);
  const { plateau, ...reading } = meltReading(request, trace);
  return kept(wireCheck({ ...request, ...reading, probe }), plateau);
}

function meltReading({ metal, reading }: WireRequest, trace: Trace): MeltReading {
  switch (reading.kind) {
    case "plateau":
      return plateauReading(trace, metal, reading.bakeId);
    case "pressed":
      return pressedReading(trace, reading.atSeconds, reading.bakeId);
    case "by-hand":
      return {
        readingCelsius: reading.readingCelsius,
        readingStandardKelvin: 0,
        climbKelvinPerMinute: reading.kelvinPerMinute,
        plateau: null,
      };
  }
}

function plateauReading(trace: Trace, metal: WireRequest["metal"], bakeId: number): MeltReading {
  const found = meltPlateau(trace, FIXED_POINTS[metal].celsius);
  if (!found)
    throw new DaemonError(
      "conflict",
      `No plateau of melting ${metal} is to be seen in bake ${bakeId}: it needs a slow climb past ${FIXED_POINTS[metal].celsius} °C. Climb more slowly, or give the moment at which it melted.`,
    );
  const { standardUncertaintyKelvin, ...plateau } = found;
  return {
    readingCelsius: plateau.celsius,
    readingStandardKelvin: standardUncertaintyKelvin,
    // A plateau waits for whoever looks.
    climbKelvinPerMinute: 0,
    plateau,
  };
}

function pressedReading(trace: Trace, atSeconds: number, bakeId: number): MeltReading {
  const found = readingAt(trace, atSeconds);
  if (!found)
    throw new DaemonError(
      "conflict",
      `Nothing was measured in bake ${bakeId} around ${Math.round(atSeconds)} s: press while its line is heard.`,
    );
  return {
    readingCelsius: found.celsius,
    readingStandardKelvin: found.standardUncertaintyKelvin,
    climbKelvinPerMinute: found.kelvinPerMinute,
    plateau: null,
  };
}

function kept(outcome: CheckOutcome, plateau: CheckResult["plateau"]): CheckResult {
  const offKelvin = Math.abs(outcome.worstDifferenceKelvin);
  if (offKelvin > LARGEST_OFFSET_KELVIN)
    throw new DaemonError(
      "conflict",
      `The reading is ${Math.round(offKelvin)} K off: that is a fault and no offset. Look at the thermocouple's type and leads, and at what was typed.`,
    );
  return checkResultSchema.parse({ ...outcome, plateau });
}
