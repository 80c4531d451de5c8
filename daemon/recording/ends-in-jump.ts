import type { Trace } from "#core/trace/trace";

/**
 * A reading that jumped by more than this and what a chamber does in the time may be a lone spike: the next one
 * tells. 12 K as where spikes are taken out; no muffle moves by more than 300 K/min (our choice, no source).
 */
const JUMP_KELVIN = 12;
const FASTEST_KELVIN_PER_SECOND = 5;

/** Whether the last reading of a running bake may be a lone spike. */
export function endsInJump(samples: Trace): boolean {
  const [before, last] = samples.slice(-2);
  if (!before || !last) return false;
  const mayMoveKelvin = JUMP_KELVIN + FASTEST_KELVIN_PER_SECOND * (last.atSeconds - before.atSeconds);
  return Math.abs(last.celsius - before.celsius) > mayMoveKelvin;
}
