import { readFileSync } from "node:fs";
import { z } from "zod";
import type { Material } from "#core/heat/material";

const exampleSchema = z.object({
  name: z.string(),
  group: z.string(),
  inputs: z.record(z.string(), z.unknown()),
  expected: z.record(z.string(), z.unknown()),
  tolerance: z.record(z.string(), z.number()),
  provenance: z.string(),
});
export type SinteringExample = z.infer<typeof exampleSchema>;

const file = new URL("../reference/sintering-worked-examples.json", import.meta.url);
const { examples } = z
  .object({ examples: z.array(exampleSchema) })
  .parse(JSON.parse(readFileSync(file, "utf8")));

/** A worked example by its name, with its provenance. */
export function sinteringExample(name: string): SinteringExample {
  const found = examples.find((example) => example.name === name);
  if (!found) throw new RangeError(`no worked example is called ${name}`);
  return found;
}

/** The names of a group, so that a test can hold that none was passed over. */
export function sinteringExampleNames(group: string): string[] {
  return examples.filter((example) => example.group === group).map(({ name }) => name);
}

/** Whether a number agrees with a stated one within a share of it. */
export function agrees(actual: number | null, stated: number, relative: number): boolean {
  return actual !== null && Math.abs(actual - stated) <= relative * Math.abs(stated);
}

/** S1, a glass invented for the worked examples, no product; packed into cells of 20 µm. */
export const GLASS_S1 = {
  name: "S1",
  origin: { kind: "invented", statement: "Invented for the worked examples; no product" },
  activationEnergyJoulesPerMole: 300_000,
  referenceCelsius: 760,
  viscosity: { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 },
  surfaceTensionNewtonsPerMetre: 0.3,
  packing: { cellMicrometres: 20, relativeDensity: 0.6 },
  closure: null,
  window: null,
} as const satisfies Material;
