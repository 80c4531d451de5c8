import { describe, expect, it } from "vitest";
import { call } from "#tests/helpers/call";

describe("the command line", () => {
  it.each([["help"], ["--help"], ["-h"], [], ["judge", "--help"]])(
    "explains itself with %j",
    async (...argv) => {
      const { code, out, notes } = await call(...argv);
      expect({ code, notes }).toEqual({ code: 0, notes: "" });
      for (const verb of [
        "serve",
        "ports",
        "listen",
        "judge",
        "plan check",
        "convert",
        "plan curve",
        "plan effective",
        "heat",
        "simulate",
        "export",
      ])
        expect(out).toContain(`bakeside ${verb}`);
    },
  );

  it.each(["version", "--version", "-v"])("says its version with %s", async (verb) => {
    expect(await call(verb)).toEqual({ code: 0, out: "0.1.0\n", notes: "" });
  });

  it.each([["bake"], ["plan"], ["plan", "burn"], ["--loud"], ["ju\u0007dge\n"]])(
    "refuses %j in one line, exit code 2",
    async (...argv) => {
      const { code, out, notes } = await call(...argv);
      expect({ code, out }).toEqual({ code: 2, out: "" });
      expect(notes).toMatch(/^bakeside: there is no verb "[^\p{C}]*"\. Verbs: serve, [^\p{C}]*\n$/u);
    },
  );
});
