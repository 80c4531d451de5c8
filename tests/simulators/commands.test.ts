import { describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { commandLines, LONGEST_COMMAND_CHARACTERS, parseBenchCommand } from "#simulators/commands";

describe("a command of the bench", () => {
  it.each([
    { furnace: "furnace-1", start: DEMONSTRATION_PLANS[1] },
    { furnace: "furnace-1", abort: true },
    { furnace: "furnace-2", door: "open" },
    { furnace: "furnace-2", fault: "mute" },
    { furnace: "furnace-2", fault: "cold-wild" },
    { furnace: "furnace-1", wire: "silver" },
    { furnace: "furnace-1", wire: "none" },
    { speed: 60 },
  ])("is taken as it is written: %j", (command) => {
    expect(parseBenchCommand(JSON.stringify(command))).toEqual({ ok: true, command });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { line: "nonsense",                                        why: 'not JSON, in "nonsense"' },
    { line: "[]",                                              why: 'no command of the bench, in "[]"' },
    { line: '{"speed":0}',                                     why: 'speed: Too small' },
    { line: '{"speed":601}',                                   why: 'speed: Too big' },
    { line: '{"furnace":"furnace-1"}',                         why: 'no command of the bench, in' },
    { line: '{"furnace":"../1","abort":true}',                 why: 'furnace: small letters, digits and hyphens' },
    { line: '{"furnace":"furnace-1","fault":"explode"}',       why: 'no command of the bench, in' },
    { line: '{"furnace":"furnace-1","wire":"lead"}',           why: 'no command of the bench, in' },
    { line: '{"furnace":"furnace-1","abort":true,"more":1}',   why: 'Unrecognized key: "more"' },
    { line: '{"furnace":"furnace-1","start":{"name":"x"}}',    why: 'start.lowCelsius: ' },
    { line: `"${"x".repeat(LONGEST_COMMAND_CHARACTERS)}"`,     why: 'too long, in' },
  ])("is refused in one line: $why", ({ line, why }) => {
    const parsed = parseBenchCommand(line);
    const message = parsed.ok ? "taken" : parsed.message;
    expect(message).toContain(`Command refused: ${why}`);
    expect(message).not.toContain("\n");
    expect(message.length).toBeLessThan(300);
  });
});

describe("the lines of standard input", () => {
  it("are put together from pieces, blank ones left out, the last also without its ending", async () => {
    const degree = Buffer.from("°");
    const pieces = [
      Buffer.from("on"),
      Buffer.from("e\n\n  \ntw"),
      Buffer.from("o"),
      degree.subarray(0, 1),
      degree.subarray(1),
    ];
    expect(await linesOf(pieces)).toEqual(["one", "two°"]);
  });

  it("stay bounded when no ending comes, and go on afterwards", async () => {
    const long = Array.from({ length: 50 }, () => "x".repeat(LONGEST_COMMAND_CHARACTERS));
    const [first = "", ...others] = await linesOf([...long, "\n", "next\n"]);
    expect(first).toHaveLength(LONGEST_COMMAND_CHARACTERS + 1);
    expect(parseBenchCommand(first).ok).toBe(false);
    expect(others).toEqual(["next"]);
  });
});

async function linesOf(pieces: readonly (Buffer | string)[]): Promise<string[]> {
  async function* input() {
    yield* pieces;
  }
  const lines: string[] = [];
  for await (const line of commandLines(input())) lines.push(line);
  return lines;
}
