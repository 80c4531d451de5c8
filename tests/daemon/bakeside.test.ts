import { type ChildProcess, execFile, spawn } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { promisify } from "node:util";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { temporaryFolder } from "#tests/helpers/call";

const exec = promisify(execFile);
const folder = temporaryFolder();
const running: ChildProcess[] = [];

beforeAll(async () => {
  // What is wrong with the types is told elsewhere; this only wants the program as it stands.
  await exec("node_modules/.bin/tsc", ["-b", "core", "shared", "daemon", "simulators"]).catch(
    () => undefined,
  );
  const assets = "store/migrations";
  await exec("mkdir", ["-p", `dist/daemon/${assets}`]);
  await exec("cp", ["-r", `daemon/${assets}/.`, `dist/daemon/${assets}`]);
}, 120_000);

afterAll(() => {
  for (const child of running) child.kill("SIGKILL");
  folder.remove();
});

function bakeside(args: readonly string[], environment: NodeJS.ProcessEnv = {}): ChildProcess {
  const child = spawn(process.execPath, ["dist/daemon/bakeside.cjs", ...args], {
    env: { ...process.env, ...environment },
    stdio: ["ignore", "pipe", "pipe"],
  });
  running.push(child);
  return child;
}

async function ended(child: ChildProcess): Promise<{ code: number | null; out: string; notes: string }> {
  let [out, notes] = ["", ""];
  child.stdout?.on("data", (bytes) => {
    out += bytes;
  });
  child.stderr?.on("data", (bytes) => {
    notes += bytes;
  });
  const code = await new Promise<number | null>((resolve) => child.once("close", resolve));
  return { code, out, notes };
}

/** A daemon of its own, once it has said where its kiosk is. */
async function served(name: string, environment: NodeJS.ProcessEnv = {}, more: readonly string[] = []) {
  const child = bakeside(
    ["serve", "--http-port", "0", "--data", `${folder.path}/${name}`, ...more],
    environment,
  );
  const end = ended(child);
  const address = await new Promise<string>((resolve, reject) => {
    child.stdout?.on("data", (bytes) => {
      const [found] = /http:\/\/\S+/.exec(String(bytes)) ?? [];
      if (found) resolve(found);
    });
    void end.then(({ notes }) => reject(new Error(notes)));
  });
  return { child, end, address };
}

const threads = (child: ChildProcess) => readdirSync(`/proc/${child.pid}/task`).length;

describe("the bakeside program", () => {
  it("says its version", async () => {
    expect(await ended(bakeside(["version"]))).toEqual({ code: 0, out: "0.1.0\n", notes: "" });
  });

  it("runs with sixteen threads for disk and ports, or as many as it is told", async () => {
    const usual = await served("usual", { UV_THREADPOOL_SIZE: undefined });
    const told = await served("told", { UV_THREADPOOL_SIZE: "5" });
    expect(threads(usual.child) - threads(told.child)).toBe(11);
    for (const { child, end } of [usual, told]) {
      child.kill("SIGTERM");
      expect(await end).toMatchObject({ code: 0, notes: "" });
    }
  });

  it("serves its kiosk, and a second one on the same data is refused by name", async () => {
    const first = await served("shared");
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
    const third = await served("shared");
    third.child.kill("SIGINT");
    expect((await third.end).code).toBe(0);
  });

  it("refuses a port for its page that another program has", async () => {
    const first = await served("one");
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
    const first = await served("kept");
    const headers = { "content-type": "application/json" };
    const body = JSON.stringify({ name: "By the window", port: "tcp://127.0.0.1:9" });
    await fetch(`${first.address}api/furnaces/furnace-1`, { method: "PUT", headers, body });
    first.child.kill("SIGKILL");
    await first.end;
    const second = await served("kept");
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
    expect(code).not.toBe(0);
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
    new Function("process", text.replace(/^#!.*/, ""))(stage);
    expect(says).toEqual(["bakeside needs Node 20.12 or later; this is 20.11.1. Install a newer one.\n"]);
    expect(stage.exitCode).toBe(2);
    expect(stage.env["UV_THREADPOOL_SIZE"]).toBe("16");
  });
});
