import { type ChildProcess, execFile } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { promisify } from "node:util";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { bakeside, buildProgram, ended, endPrograms, served } from "#tests/helpers/built-program";
import { temporaryFolder } from "#tests/helpers/call";

const exec = promisify(execFile);
const folder = temporaryFolder();
beforeAll(buildProgram, 120_000);

afterAll(() => {
  endPrograms();
  folder.remove();
});

const data = (name: string) => `${folder.path}/${name}`;

const threads = (child: ChildProcess) => readdirSync(`/proc/${child.pid}/task`).length;

describe("the bakeside program", () => {
  it("says its version", async () => {
    expect(await ended(bakeside(["version"]))).toEqual({ code: 0, out: "0.1.0\n", notes: "" });
  });

  it("runs with sixteen threads for disk and ports, or as many as it is told", async () => {
    const usual = await served(data("usual"), [], { UV_THREADPOOL_SIZE: undefined });
    const told = await served(data("told"), [], { UV_THREADPOOL_SIZE: "5" });
    expect(threads(usual.child) - threads(told.child)).toBe(11);
    for (const { child, end } of [usual, told]) {
      child.kill("SIGTERM");
      expect(await end).toMatchObject({ code: 0, notes: "" });
    }
  });

  it("serves its kiosk, and a second one on the same data is refused by name", async () => {
    const first = await served(data("shared"));
    const health = await (await fetch(`${first.address}api/health`)).json();
    expect(health).toMatchObject({ status: "ok", furnaces: [{ id: "furnace-1", link: "absent" }] });
    const second = await ended(bakeside(["serve", "--http-port", "0", "--data", `${folder.path}/shared`]));
    expect(second).toEqual({
      code: 2,
      out: "",
      notes: `Another bakeside (process ${first.child.pid}) uses the data folder ${folder.path}/shared. Stop it, or choose another with --data.\n`,
    });
    first.child.kill("SIGKILL");
    await first.end;
    const third = await served(data("shared"));
    third.child.kill("SIGINT");
    expect((await third.end).code).toBe(0);
  });

  it("refuses a port for its page that another program has", async () => {
    const first = await served(data("one"));
    const { port } = new URL(first.address);
    const second = await ended(bakeside(["serve", "--http-port", port, "--data", `${folder.path}/two`]));
    expect(second).toEqual({
      code: 2,
      out: "",
      notes: `Cannot serve the kiosk at 127.0.0.1:${port}: another program has that port. Stop it, or choose another with --http-port.\n`,
    });
    first.child.kill("SIGTERM");
    await first.end;
  });

  it("keeps what the kiosk was told, also when it is killed", async () => {
    const first = await served(data("kept"));
    const headers = { "content-type": "application/json" };
    const body = JSON.stringify({ name: "By the window", port: "tcp://127.0.0.1:9" });
    await fetch(`${first.address}api/furnaces/furnace-1`, { method: "PUT", headers, body });
    first.child.kill("SIGKILL");
    await first.end;
    const second = await served(data("kept"));
    const { plans } = await (await fetch(`${second.address}api/plans`)).json();
    const { furnaces } = await (await fetch(`${second.address}api/health`)).json();
    expect(furnaces).toHaveLength(1);
    expect(furnaces[0].link).not.toBe("absent");
    expect(plans.map((plan: { isDemonstration: boolean }) => plan.isDemonstration)).not.toContain(false);
    second.child.kill("SIGTERM");
    await second.end;
  });

  it.each([
    { what: "a port that is not there", args: ["listen", "/dev/ttyNone"], says: /ttyNone/ },
    { what: "an unknown verb", args: ["bake"], says: /there is no verb "bake"/ },
    { what: "an unknown option", args: ["serve", "--loud"], says: /unknown option --loud/ },
    {
      what: "another host",
      args: ["serve", "--host", "0.0.0.0"],
      says: /takes 127\.0\.0\.1, localhost or ::1/,
    },
  ])("refuses $what in one line, exit code 2", async ({ args, says }) => {
    const { code, out, notes } = await ended(bakeside(args));
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(notes).toMatch(/^[^\n]+\n$/);
    expect(notes).toMatch(says);
  });

  it("hears a flood of bytes that are no lines, and says so", async () => {
    const flood = folder.file(
      "flood.bin",
      Uint8Array.from({ length: 300_000 }, (_, index) => (index * 7919) % 256),
    );
    const { code, notes } = await ended(bakeside(["listen", flood]));
    expect(code).toBe(1);
    expect(notes).toMatch(/^[^\n]+\n$/);
  });

  it("is quiet when nobody reads on", async () => {
    const plan = folder.file(
      "plan.json",
      JSON.stringify({
        name: "x",
        lowCelsius: 500,
        steps: [{ kind: "climb", toCelsius: 900, kelvinPerMinute: 1 }],
      }),
    );
    const { stdout, stderr } = await exec("sh", [
      "-c",
      `"${process.execPath}" dist/daemon/bakeside.cjs plan curve ${plan} --step 0.1 | head -n 1`,
    ]);
    expect({ stdout, stderr }).toEqual({ stdout: "seconds,celsius\n", stderr: "" });
  });

  it("refuses a Node that is too old, before it loads anything of its own", () => {
    const text = readFileSync("dist/daemon/bakeside.cjs", "utf8");
    const says: string[] = [];
    const stage = {
      env: {} as Record<string, string>,
      versions: { node: "20.11.1" },
      stderr: { write: (line: string) => says.push(line) },
      exitCode: 0,
    };
    new Function("process", "exports", text.replace(/^#!.*/, ""))(stage, {});
    expect(says).toEqual(["bakeside needs Node 20.12 or later; this is 20.11.1. Install a newer one.\n"]);
    expect(stage.exitCode).toBe(2);
    expect(stage.env["UV_THREADPOOL_SIZE"]).toBe("16");
  });
});
