import { describe, expect, it } from "vitest";
import { parseBenchOptions } from "#simulators/options";

describe("the options of the bench", () => {
  it("are two furnaces at 10×, speaking pairs once a second on pseudo-terminals, when nothing is said", () => {
    expect(parseBenchOptions([])).toEqual({
      ok: true,
      options: {
        furnaces: 2,
        speed: 10,
        seed: 1,
        format: "pairs",
        bus: "own",
        type: "K",
        hertz: 1,
        transport: "pty",
        noise: 0.3,
        "history-seed": 1,
      },
    });
  });

  it("are read from words", () => {
    const parsed = parseBenchOptions([
      "--speed",
      "600",
      "--format=json",
      "--links",
      "/tmp/x",
      "--history",
      "3",
    ]);
    expect(parsed).toMatchObject({
      ok: true,
      options: { speed: 600, format: "json", links: "/tmp/x", history: 3 },
    });
  });

  it("let furnaces share a line on which they are asked", () => {
    const parsed = parseBenchOptions([
      "--format",
      "modbus",
      "--bus",
      "shared",
      "--baud",
      "19200",
      "--type",
      "S",
    ]);
    expect(parsed).toMatchObject({
      ok: true,
      options: { format: "modbus", bus: "shared", baud: 19_200, type: "S" },
    });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { argv: ["--speed", "601"],      message: /^--speed: / },
    { argv: ["--speed", "fast"],     message: /^--speed: / },
    { argv: ["--furnaces", "0"],     message: /^--furnaces: / },
    { argv: ["--furnaces", "1.5"],   message: /^--furnaces: / },
    { argv: ["--format", "xml"],     message: /^--format: / },
    { argv: ["--hertz", "1000"],     message: /^--hertz: / },
    { argv: ["--baud", "9600.5"],    message: /^--baud: / },
    { argv: ["--type", "C"],         message: /^--type: / },
    { argv: ["--bus", "shared"],     message: /^--bus: furnaces share a line only where they are asked/ },
    { argv: ["--what"],              message: /--what/ },
    { argv: ["--speed"],             message: /--speed/ },
    { argv: ["left over"],           message: /left over/ },
  ])("are refused in one line: $argv", ({ argv, message }) => {
    const parsed = parseBenchOptions(argv);
    const said = parsed.ok ? "taken" : parsed.message;
    expect(said).toMatch(message);
    expect(said).not.toContain("\n");
  });
});
