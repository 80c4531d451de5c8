import { mkdir, mkdtemp, rm, symlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { runPorts } from "#daemon/command/ports";

const nowhere = { byId: "/no", byPath: "/no", sysTty: "/no", dev: "/no" };

async function run(args: readonly string[], folders = nowhere) {
  const [results, messages]: [string[], string[]] = [[], []];
  const out = { stdout: (text: string) => results.push(text), stderr: (text: string) => messages.push(text) };
  const code = await runPorts(args, out, folders);
  return { code, stdout: results.join(""), stderr: messages.join("") };
}

describe("bakeside ports", () => {
  it("says that there are none", async () => {
    expect(await run([])).toEqual({
      code: 0,
      stdout: "No serial ports here. Plug an adapter in, or use tcp://host:port.\n",
      stderr: "",
    });
    expect(await run(["--json"])).toEqual({ code: 0, stdout: "[]\n", stderr: "" });
  });

  it("prints each by its stable name, for people and for programs", async () => {
    const root = await mkdtemp(join(tmpdir(), "bakeside-ports-"));
    const device = join(root, "ttyUSB0");
    const name = join(root, "by-id", "usb-adapter");
    await writeFile(device, "");
    await mkdir(join(root, "by-id"));
    await symlink(device, name);
    const folders = { ...nowhere, byId: join(root, "by-id") };
    expect((await run([], folders)).stdout).toBe(`${name}\n    ${device}\n    USB serial adapter\n`);
    expect(JSON.parse((await run(["--json"], folders)).stdout)).toEqual([
      { name, device, note: "USB serial adapter" },
    ]);
    await rm(root, { recursive: true });
  });

  it.each([[["--all"]], [["/dev/ttyUSB0"]]])("refuses the call %j in one line", async (args) => {
    expect(await run(args)).toEqual({
      code: 2,
      stdout: "",
      stderr: `Cannot list ports with ${args[0]}: the call is \`bakeside ports [--json]\`\n`,
    });
  });
});
