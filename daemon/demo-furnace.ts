import type { Furnace } from "#shared/furnace";
import type { Probe } from "#shared/probe";

/** The bench's lines, by the page of line formats. */
const BENCH_FORMAT = "pairs:s=seconds,T=celsius,P=hectopascals,D=duty-fraction";

/** An invented probe: a thermocouple as bought on an ordinary adapter, no check of it accepted. */
export const DEMO_PROBE: Probe = {
  type: "K",
  toleranceClass: "iec-2",
  instrumentAccuracyKelvin: 1,
  instrumentResolutionKelvin: 0.1,
  coldJunctionAccuracyKelvin: 0.5,
  positionKelvin: 2,
  correction: null,
};

/** A furnace of the bench as a new demonstration keeps it; its line is not known yet. */
export function demoFurnace(id: string): Furnace {
  const name = `Demo furnace ${id.replace("furnace-", "")}`;
  return {
    id,
    name,
    port: null,
    baudRate: 9600,
    framing: "8N1",
    format: BENCH_FORMAT,
    probe: DEMO_PROBE,
    checkDueEpochMilliseconds: null,
    isDemonstration: true,
  };
}
