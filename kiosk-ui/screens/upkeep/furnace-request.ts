import type { FurnaceRequest } from "#kiosk-ui/kiosk-client";
import type { Furnace } from "#shared/furnace";
import type { ProbeSettings } from "#shared/probe";

/** A furnace's line as it is, with other probe settings: the whole line goes along with every change. */
export function probeRequest(
  { name, port, baudRate, framing, format }: Furnace,
  probe: ProbeSettings,
): FurnaceRequest {
  return { name, port, baudRate, framing, format, probe };
}
