import { readFileSync } from "node:fs";
import { z } from "zod";

const exampleSchema = z.object({
  name: z.string(),
  group: z.string(),
  inputs: z.record(z.string(), z.unknown()),
  expected: z.record(z.string(), z.unknown()),
  provenance: z.string(),
});

const reference = new URL("../reference/sintering-worked-examples.json", import.meta.url);
const { examples } = z
  .object({ examples: z.array(exampleSchema) })
  .parse(JSON.parse(readFileSync(reference, "utf8")));

/** The names of a group's worked examples, sorted: a test of the group says that it has one for each. */
export function sinteringExampleNames(group: string): string[] {
  return examples
    .filter((example) => example.group === group)
    .map(({ name }) => name)
    .sort();
}

/** A worked example of tests/reference/sintering-worked-examples.json, its inputs and results parsed. */
export function sinteringExample<Inputs extends z.ZodRawShape, Expected extends z.ZodRawShape>(
  name: string,
  inputs: Inputs,
  expected: Expected,
) {
  const found = examples.find((example) => example.name === name);
  if (!found) throw new RangeError(`no worked example is called ${name}`);
  return { inputs: z.object(inputs).parse(found.inputs), expected: z.object(expected).parse(found.expected) };
}

/** How far a value is from another, as a share of it. */
export function relativeError(actual: number, expected: number): number {
  return Math.abs(actual / expected - 1);
}
