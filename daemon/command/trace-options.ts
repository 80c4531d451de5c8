import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { numberOption, wrongCall } from "#daemon/command/options";
import { ANY_NUMBER, coldJunctionOption } from "#daemon/command/thermocouple-options";
import type { TraceSettings } from "#daemon/command/trace-file";

/**
 * What a call says of a trace's column in mV: `--type S`, `--cold 24`, `--from mv`.
 * @throws DaemonError `input-refused`
 */
export function traceSettings(
  verb: string,
  type: ThermocoupleType | null,
  cold: string | undefined,
  from: string | undefined,
): TraceSettings {
  if (from !== undefined && from !== "mv" && from !== "celsius")
    throw wrongCall(verb, `--from takes mv or celsius, not "${from.slice(0, 40)}"`);
  const signal = from === "mv" ? "millivolts" : (from ?? null);
  if (cold === undefined) return { type, coldJunctionCelsius: null, signal };
  // Without a type the file is refused anyway, with how to mend it.
  const coldJunctionCelsius = type
    ? coldJunctionOption(verb, type, cold)
    : numberOption(verb, "cold", cold, ANY_NUMBER);
  return { type, coldJunctionCelsius, signal };
}
