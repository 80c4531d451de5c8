import { z } from "zod";
import {
  sinteringExample as plainExample,
  sinteringExampleNames as plainNames,
} from "#tests/helpers/sintering-example";

/** The names of a group's worked examples, sorted: a test of the group says that it has one for each. */
export function sinteringExampleNames(group: string): string[] {
  return plainNames(group).sort();
}

/** A worked example of tests/reference/sintering-worked-examples.json, its inputs and results parsed. */
export function sinteringExample<Inputs extends z.ZodRawShape, Expected extends z.ZodRawShape>(
  name: string,
  inputs: Inputs,
  expected: Expected,
) {
  const found = plainExample(name);
  return { inputs: z.object(inputs).parse(found.inputs), expected: z.object(expected).parse(found.expected) };
}

/** How far a value is from another, as a share of it. */
export function relativeError(actual: number, expected: number): number {
  return Math.abs(actual / expected - 1);
}
