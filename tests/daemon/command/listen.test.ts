import { once } from "node:events";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { type AddressInfo, createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { runListen } from "#daemon/command/listen";
import { openPty } from "#simulators/pty";

let folder = "";

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "bakeside-listen-"));
});
afterEach(() => rm(folder, { recursive: true }));

async function run(...args: string[]) {
  const [results, messages]: [string[], string[]] = [[], []];
  const out = { stdout: (text: string) => results.push(text), stderr: (text: string) => messages.push(text) };
  const code = await runListen(args, out);
  return { code, stdout: results.join(""), stderr: messages.join("") };
}

async function recording(text: string): Promise<string> {
  const path = join(folder, "bake.csv");
  await writeFile(path, text);
  return path;
}

describe("bakeside listen", () => {
  it("shows what it heard from a recording, and the formats that fit", async () => {
    const path = await recording("s=0 T=501.0\ns=600 T=502.5\ns=1200 T=503.9\n");
    expect(await run(path)).toEqual({
      code: 0,
      stderr: "",
      stdout: [
        "3 lines heard; the last:",
        "  s=0 T=501.0",
        "  s=600 T=502.5",
        "  s=1200 T=503.9",
        "Ways to read it, best first:",
        "  503.9 °C, at 1200 s",
        '      --format "pairs:s=seconds,T=celsius"   (3 of 3 lines)',
        "  262.2 °C, at 1200 s",
        '      --format "pairs:s=seconds,T=fahrenheit"   (3 of 3 lines)',
        "  230.8 °C, at 1200 s",
        '      --format "pairs:s=seconds,T=kelvin"   (3 of 3 lines)',
        "  503.9 °C",
        '      --format "pairs:T=celsius"   (3 of 3 lines)',
        "  262.2 °C",
        '      --format "pairs:T=fahrenheit"   (3 of 3 lines)',
        "",
      ].join("\n"),
    });
  });

  it("listens to a real pseudo-terminal", async () => {
    const pty = await openPty();
    let second = 0;
    const traffic = setInterval(() => pty.write(`{"s":${second++},"T":501.5,"P":1013.2}\r\n`), 10);
    const { code, stdout } = await run(pty.path, "--seconds", "0.5", "--baud", "115200", "--json");
    clearInterval(traffic);
    await pty.close();
    expect(code).toBe(0);
    const { formats, ...call } = JSON.parse(stdout);
    expect(call).toMatchObject({ port: pty.path, baudRate: 115_200, seconds: 0.5, overlongLines: 0 });
    expect(formats[0]).toMatchObject({
      spec: "json:s=seconds,T=celsius,P=hectopascals",
      preview: { celsius: 501.5, hectopascals: 1013.2 },
    });
  });

  it("says the rate to use when none is given, and what each usual thermocouple would make of an EMF", async () => {
    const pty = await openPty();
    let second = 0;
    const traffic = setInterval(() => pty.write(`E=${(4.1 + second++ / 1000).toFixed(4)} CJ=24.1\n`), 20);
    const { code, stdout } = await run(pty.path);
    clearInterval(traffic);
    await pty.close();
    expect(code).toBe(0);
    expect(stdout).toMatch(/^\d+ lines heard at 9600 baud, 8N1; the last:\n/);
    expect(stdout).toMatch(/ {2}4\.\d{4} mV, cold junction 24\.1 °C: 5\d\d\.\d °C as type S, /);
    expect(stdout).toMatch(
      /--format "pairs:E=millivolts,CJ=cold-celsius" --baud 9600 {3}\(\d+ of \d+ lines\)/,
    );
  });

  it("asks, when it may, what says nothing by itself", async () => {
    const pty = await openPty();
    let waiting = "\u0002left over from another rate";
    pty.onInput((bytes) => {
      waiting += bytes.toString("latin1");
      for (const line of waiting.split("\n").slice(0, -1)) {
        if (line.startsWith("*IDN?")) pty.write("Our own invention,bench thermometer,0,1\r\n");
        if (line.startsWith("MEAS")) pty.write("+5.12400000E+02\r\n");
      }
      waiting = waiting.slice(waiting.lastIndexOf("\n") + 1);
    });
    const { code, stdout } = await run(pty.path, "--seconds", "0.1", "--ask");
    await pty.close();
    expect(code).toBe(0);
    expect(stdout).toContain("It answers: Our own invention,bench thermometer,0,1\n");
    expect(stdout).toContain(
      '  512.4 °C\n      --format "scpi:MEASure:TEMPerature?=celsius" --baud 9600   (when it is asked)\n',
    );
  });

  it("listens to a socket, and takes what it heard when the other side closes", async () => {
    const server = createServer((socket) => socket.end("half\n501.0\n501.2\n501.3\n"));
    server.listen(0, "127.0.0.1");
    await once(server, "listening");
    const { code, stdout } = await run(`tcp://127.0.0.1:${(server.address() as AddressInfo).port}`);
    server.close();
    expect(code).toBe(0);
    expect(stdout).toContain('  501.3 °C\n      --format "number:celsius"   (3 of 3 lines)\n');
  });

  it("answers 1 and says so when no format fits", async () => {
    const path = await recording("hello\nworld\n");
    expect(await run(path)).toMatchObject({
      code: 1,
      stderr: `No format fits the 2 lines heard from ${path}: daemon/link/formats/formats.md says what can be read\n`,
    });
  });

  it("answers 1 and says what to look at when nothing comes", async () => {
    const pty = await openPty();
    const { code, stderr } = await run(pty.path, "--seconds", "0.1", "--baud", "9600");
    await pty.close();
    expect(code).toBe(1);
    expect(stderr).toBe(
      `Nothing heard from ${pty.path} in 0.1 s: check the instrument and its cable and whether it speaks only when it is asked; another program may be reading this port\n`,
    );
  });

  it.each([
    { args: [], message: /^Cannot listen: the call is/ },
    { args: ["/dev/a", "/dev/b"], message: /^Cannot listen: the call is/ },
    {
      args: ["/dev/a", "--speed"],
      message: /^Cannot listen: an option is unknown .* "\/dev\/a --speed"; the call is/,
    },
    { args: ["/dev/a", "--seconds", "soon"], message: /^Cannot listen: --seconds takes 0.1 to 3600/ },
    { args: ["/dev/a", "--baud", "9600.5"], message: /^Cannot listen: --baud takes a whole number/ },
    { args: ["/dev/missing"], message: /^Cannot open \/dev\/missing: there is no such port\./ },
    { args: ["tcp://x"], message: /^Cannot use the port tcp:\/\/x: write it as/ },
    { args: ["COM1"], message: /^Cannot use the port COM1: give a path/ },
    { args: ["file:/missing"], message: /^Cannot replay \/missing: there is no such file\./ },
  ])("answers 2 in one line to $args", async ({ args, message }) => {
    const { code, stdout, stderr } = await run(...args);
    expect([code, stdout]).toEqual([2, ""]);
    expect(stderr).toMatch(message);
    expect(stderr.trimEnd()).not.toContain("\n");
  });
});
