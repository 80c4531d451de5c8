import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { projectRoot, type SourceFile, sourcesIn } from "#tests/architecture/source-files";

interface Example {
  readonly call: string;
  /** Absent where somebody forgot to write it. */
  readonly result?: string | undefined;
}

const files = ["core", "shared"].flatMap(sourcesIn).map((file) => ({ ...file, examples: examplesOf(file) }));

describe("the examples in the doc comments", () => {
  it("are found", () => {
    expect(files.flatMap(({ examples }) => examples).length).toBeGreaterThan(10);
  });

  describe.each(files.filter(({ examples }) => examples.length > 0))("of $path", ({ path, examples }) => {
    it.each(examples)("$call", async (example) => {
      const { actual, expected } = evaluated(example, await exportsOf(path));
      expect(actual).toEqual(expected);
    });
  });
});

describe("an example", () => {
  it("is a call and its result on one line", () => {
    expect(examplesOf(commented("@example double(2) // 4"))).toEqual([{ call: "double(2)", result: "4" }]);
  });

  it("may run over several lines, and be followed by another", () => {
    const text = [
      "@example",
      "double(",
      '  length("tcp://a"),',
      ") // 14",
      "double(3) // 6",
      "@returns a number",
    ];
    expect(examplesOf(commented(...text))).toEqual([
      { call: 'double(\nlength("tcp://a"),\n)', result: "14" },
      { call: "double(3)", result: "6" },
    ]);
  });

  it("without a result is not passed over", () => {
    const [example] = examplesOf(commented("@example double(2)"));
    expect(() => evaluated(example ?? { call: "" }, doubling)).toThrow(
      "has no result: write `call // result`",
    );
  });

  it("that is wrong is caught", () => {
    const [right, wrong] = examplesOf(commented("@example double(2) // 4", "@example double(2) // 5"));
    const check = (example: Example | undefined) => {
      const { actual, expected } = evaluated(example ?? { call: "" }, doubling);
      expect(actual).toEqual(expected);
    };
    expect(() => check(right)).not.toThrow();
    expect(() => check(wrong)).toThrow("expected 4 to deeply equal 5");
  });
});

const doubling = { double: (number: number) => 2 * number };

function commented(...lines: readonly string[]): SourceFile {
  return { path: "planted.ts", text: ["/**", ...lines.map((line) => ` * ${line}`), " */"].join("\n") };
}

function examplesOf({ text }: SourceFile): Example[] {
  return [...text.matchAll(/\/\*\*[\s\S]*?\*\//g)].flatMap(([comment]) => {
    const lines = comment.replace(/\*\/$/, "").split("\n");
    const plain = lines.map((line) => line.replace(/^\s*(\/\*\*|\*)?\s*/, "").trimEnd()).join("\n");
    return plain
      .split(/^(?=@)/m)
      .filter((part) => part.startsWith("@example"))
      .flatMap((part) => calls(part.slice("@example".length).trim()));
  });
}

function calls(text: string): Example[] {
  const found: Example[] = [];
  let call: string[] = [];
  for (const line of text.split("\n")) {
    const [, code, result] = /^(.*) \/\/ (.*)$/.exec(line) ?? [];
    call.push(code ?? line);
    if (result === undefined) continue;
    found.push({ call: call.join("\n"), result });
    call = [];
  }
  const unfinished = call.join("\n").trim();
  return unfinished ? [...found, { call: unfinished }] : found;
}

function evaluated({ call, result }: Example, exported: Readonly<Record<string, unknown>>) {
  if (result === undefined) throw new Error(`${call} has no result: write \`call // result\``);
  const evaluate = (code: string): unknown =>
    new Function(...Object.keys(exported), `"use strict"; return (${code});`)(...Object.values(exported));
  return { actual: evaluate(call), expected: evaluate(result) };
}

async function exportsOf(path: string): Promise<Record<string, unknown>> {
  return (await import(/* @vite-ignore */ join(projectRoot, path))) as Record<string, unknown>;
}
