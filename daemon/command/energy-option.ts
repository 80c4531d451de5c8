import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { numberOption } from "#daemon/command/options";

/**
 * `--activation-energy`, in J/mol; a number so small that it can only be meant in kJ/mol is refused rather than
 * guessed. Where it is not said, the material's, else the default.
 * @throws DaemonError `input-refused`
 */
export function energyOption(
  verb: string,
  text: string | undefined,
  otherwise = DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE,
): number {
  if (text === undefined) return otherwise;
  return numberOption(verb, "activation-energy", text, { from: 1_000, to: 2_000_000 });
}
