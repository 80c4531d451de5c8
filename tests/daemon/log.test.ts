import { pino } from "pino";
import { expect, it } from "vitest";
import { plainLines } from "#daemon/log";

it("the log at a terminal says in plain lines what happened, and where", () => {
  const lines: string[] = [];
  const log = pino({ level: "warn" }, plainLines({ write: (line) => lines.push(line) }));
  log.info("not this");
  log.warn({ furnaceId: "furnace-1" }, "Cannot open /dev/nope: there is no such port.");
  log.error({ err: new Error("disk full") }, "recording");
  expect(lines).toEqual([
    "furnace-1: Cannot open /dev/nope: there is no such port.\n",
    "recording (disk full)\n",
  ]);
});
