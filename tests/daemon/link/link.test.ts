import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtemp, rename, rm, symlink } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { systemClock } from "#daemon/clock";
import { Link, type LinkOptions } from "#daemon/link/link";
import type { Reading } from "#daemon/link/reading";
import { type LinkStatus, linkStatusSchema } from "#shared/furnace";
import { openPty, type Pty } from "#simulators/pty";
import { FakeClock } from "#tests/helpers/fake-clock";
import { MemoryPort } from "#tests/helpers/memory-port";

/** A link that keeps what it tells, and lets a test wait for something that it tells. */
function listened(options: Partial<LinkOptions> & { readonly address: string }) {
  const readings: Reading[] = [];
  const statuses: LinkStatus[] = [];
  let wake = () => {};
  const link = new Link({
    furnaceId: "test",
    baudRate: 115_200,
    format: "number:celsius",
    clock: systemClock,
    ...options,
    onReading: (reading) => {
      readings.push(reading);
      wake();
    },
    onStatus: (status) => {
      statuses.push(linkStatusSchema.parse(status));
      wake();
    },
  });
  const until = (isTrue: () => boolean) =>
    new Promise<void>((resolve) => {
      wake = () => {
        if (isTrue()) resolve();
      };
      wake();
    });
  return {
    link,
    readings,
    statuses,
    until,
    celsius: () => readings.map((reading) => reading.celsius),
    heard: (celsius: number) => until(() => readings.some((reading) => reading.celsius === celsius)),
    gone: () => until(() => link.status.kind !== "listening"),
    shown: (kind: LinkStatus["kind"]) => until(() => link.status.kind === kind),
  };
}

describe("a link to a port in memory", () => {
  const clock = new FakeClock();
  let port = new MemoryPort();

  beforeEach(() => {
    vi.useFakeTimers();
    port = new MemoryPort();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  /** Time goes on, in steps of a tick. */
  async function pass(seconds: number): Promise<void> {
    for (let left = seconds; left > 0; left -= 0.25) {
      clock.advanceSeconds(0.25);
      await vi.advanceTimersByTimeAsync(250);
    }
  }

  async function started(options: Partial<LinkOptions> = {}) {
    const all = listened({ address: "memory", clock, sourceFor: async () => port, ...options });
    all.link.start();
    await vi.advanceTimersByTimeAsync(0);
    return all;
  }

  it("reads lines with the moments at which they came", async () => {
    const { link, readings } = await started({ format: "pairs:s=seconds,T=celsius" });
    port.say("\ns=7.5 T=501.5\r\n");
    expect(readings).toEqual([
      {
        furnaceId: "test",
        instrumentSeconds: 7.5,
        celsius: 501.5,
        receivedAtSeconds: clock.monotonicSeconds(),
        receivedAtEpochMilliseconds: clock.epochMilliseconds(),
      },
    ]);
    await link.close();
    expect(port.isOpen).toBe(false);
  });

  it.each(["auto", "number:celsius", "columns:seconds,celsius", "pairs:T=celsius", "json:T=celsius"])(
    "never writes a byte to an instrument that speaks by itself: %s",
    async (format) => {
      const { link } = await started({ format });
      port.say('\n501\n1;501\nT=501\n{"T":501}\nBusy?\n');
      await pass(60);
      expect(port.opens).toBeGreaterThan(1);
      expect(port.written).toEqual([]);
      await link.close();
    },
  );

  it("leaves an instrument that has to be asked to others", async () => {
    const { link } = await started({ format: "scpi:READ?=celsius" });
    expect(link.status.message).toBe("Cannot use this format here: scpi is for an instrument that is asked");
    expect(port.written).toEqual([]);
    await link.close();
  });

  it("closes a silent port after 10 s, says why, and opens it again until it speaks", async () => {
    const { link, celsius } = await started();
    port.say("\n501\n");
    await pass(9.5);
    expect(link.status).toMatchObject({ kind: "listening", message: null });
    await pass(0.5);
    expect(link.status).toMatchObject({
      kind: "silent",
      message:
        "Nothing from memory for 10 s. Check the instrument and its cable; another program may be reading this port.",
    });
    expect([port.opens, port.closes]).toEqual([1, 1]);
    await pass(30);
    expect(port.opens).toBeGreaterThan(2);
    expect(link.status.kind).toBe("silent");
    port.say("\n502\n");
    expect(link.status).toMatchObject({ kind: "listening", message: null });
    expect(celsius()).toEqual([501, 502]);
    await link.close();
  });

  it("says that the baud rate may be wrong when bytes come without a line end", async () => {
    const { link } = await started();
    port.say(Buffer.alloc(100_000, 0xf8));
    await pass(10);
    expect(link.status).toMatchObject({
      kind: "silent",
      overlongLines: 1,
      message:
        "Bytes come from memory, but no line for 10 s. Check the baud rate (115200) and the instrument.",
    });
    await link.close();
  });

  it("forgets the half line of a port that vanished", async () => {
    const { link, celsius } = await started();
    port.say("\n501\n10");
    port.unplug();
    expect(link.status).toMatchObject({
      kind: "waiting",
      message: "Lost the memory port: it was unplugged.",
    });
    port.isPlugged = true;
    await pass(0.5);
    port.say("84.3\n503\n");
    expect(celsius()).toEqual([501, 503]);
    await link.close();
  });

  it("tries ever more seldom while nothing is plugged in, then is told at once", async () => {
    port.isPlugged = false;
    const { link, statuses } = await started();
    await pass(60);
    expect(port.opens).toBeGreaterThanOrEqual(14);
    expect(port.opens).toBeLessThanOrEqual(18); // 0.25 + 0.5 + 1 + 2 + 4, then every 5 s
    expect(statuses.map(({ kind }) => kind)).toEqual(["opening", "waiting"]);
    port.isPlugged = true;
    await pass(5.5);
    expect(link.status.kind).toBe("listening");
    await link.close();
  });

  it("counts refused lines, and speaks up when none is understood any more", async () => {
    const { link, statuses } = await started();
    port.say("\nboot\n501\nx=1\nx=2\nx=3\nx=4\n");
    expect(link.status).toMatchObject({
      kind: "listening",
      message: null,
      acceptedLines: 1,
      refusedLines: 5,
    });
    port.say("x=5\n");
    expect(link.status).toMatchObject({
      message:
        "Lines come, but they do not read as number:celsius (celsius: not a number). Run `bakeside listen memory`.",
      lastRefusedLine: "x=5",
    });
    port.say("502\n");
    expect(link.status.message).toBeNull();
    await pass(0.25);
    expect(statuses.at(-1)).toMatchObject({ acceptedLines: 2, refusedLines: 6 });
    await link.close();
  });

  it("finds the format by itself and says it", async () => {
    const { link, celsius } = await started({ format: "auto" });
    port.say("half\n0;501.0\n1;501.7\n2;502.6\n3;503.1\n");
    expect(link.status.format).toBeNull();
    port.say("4;503.9\n");
    expect(link.status.format).toBe("columns/semicolon:seconds,celsius");
    expect(celsius()).toEqual([501, 501.7, 502.6, 503.1, 503.9]);
    await link.close();
  });

  it("counts over-long lines over all openings", async () => {
    const { link } = await started();
    port.say(`\n${"x".repeat(5000)}\n`);
    port.unplug();
    port.isPlugged = true;
    await pass(0.5);
    port.say(`\n${"x".repeat(5000)}\n501\n`);
    expect(link.status).toMatchObject({ overlongLines: 2, acceptedLines: 1 });
    await link.close();
  });

  it("lets a recording be silent, and does not begin it again at its end", async () => {
    port = new MemoryPort(true);
    const { link } = await started();
    await pass(600);
    expect([link.status.kind, port.opens]).toEqual(["listening", 1]);
    port.say("\n512.0\n512.1\n512.2\n");
    port.end();
    await pass(600);
    expect(port.opens).toBe(1);
    expect(link.status).toMatchObject({ kind: "absent", message: "The recording memory is at its end." });
    await link.close();
  });

  it("says of a recording that holds no reading that none could be read", async () => {
    port = new MemoryPort(true);
    const { link } = await started();
    port.say("\nDear colleague,\nthe furnace is fine.\n");
    port.end();
    await pass(1);
    expect(link.status).toMatchObject({ kind: "absent", refusedLines: 2 });
    expect(link.status.message).toMatch(/^No line of memory could be read\. .*--format/);
    await link.close();
  });

  it("is not bent by a step of the wall clock", async () => {
    const { link } = await started();
    port.say("\n501\n");
    clock.stepWallSeconds(-3 * 3600);
    await pass(5);
    expect([link.status.kind, port.opens]).toEqual(["listening", 1]);
    await link.close();
  });

  it.each([
    { options: { format: "wrong" }, message: /^Cannot use this format: "wrong"/ },
    {
      options: { address: "tcp://", sourceFor: undefined },
      message: /^Cannot use the port tcp:\/\/: write it as tcp:/,
    },
  ])("says $message when it cannot begin", async ({ options, message }) => {
    const { link } = await started(options);
    await pass(1);
    expect(link.status).toMatchObject({ kind: "absent", message: expect.stringMatching(message) });
    await link.close();
  });
});

describe("a link to a real pseudo-terminal", () => {
  const open: { close(): Promise<void> }[] = [];
  let folder = "";
  let name = "";

  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), "bakeside-link-"));
    name = join(folder, "usb-adapter");
  });
  afterEach(async () => {
    for (const each of open.splice(0)) await each.close();
    await rm(folder, { recursive: true });
  });

  async function plugIn(): Promise<Pty> {
    const pty = await openPty();
    open.push(pty);
    await symlink(pty.path, `${name}.new`);
    await rename(`${name}.new`, name);
    return pty;
  }

  function started(options: Partial<LinkOptions> = {}) {
    const all = listened({ address: name, silenceSeconds: 0.6, ...options });
    open.push(all.link);
    all.link.start();
    return all;
  }

  it("picks a port up again that vanished under 1,000 lines a second, twenty times", {
    timeout: 120_000,
  }, async () => {
    const { heard, until, readings, link } = started();
    for (let round = 1; round <= 20; round++) {
      const pty = await plugIn();
      const before = readings.length;
      const traffic = setInterval(() => pty.write(`${round}.25\n${round}.25\n`), 2);
      await heard(round + 0.25);
      await until(() => readings.length > before + 20);
      await pty.close();
      clearInterval(traffic);
      await rm(name);
    }
    expect(readings.every(({ celsius }) => celsius !== undefined && celsius % 1 === 0.25)).toBe(true);
    expect(link.status.refusedLines).toBe(0);
  });

  it("notices a quiet port that vanishes, without waiting for the silence", async () => {
    const { heard, shown, link } = started({ silenceSeconds: 3600 });
    const pty = await plugIn();
    await shown("listening");
    pty.write("\n501\n");
    await heard(501);
    await pty.close();
    await shown("waiting");
    expect(link.status.message).toBe(
      `Lost ${name}: the adapter was unplugged or its cable moved. Plug it in.`,
    );
  });

  it("follows its name to another device while the old one stays", async () => {
    const { heard, shown } = started({ silenceSeconds: 3600 });
    const first = await plugIn();
    await shown("listening");
    first.write("\n501\n");
    await heard(501);
    const second = await plugIn();
    const traffic = setInterval(() => second.write("502\n"), 20);
    await heard(502);
    clearInterval(traffic);
  });

  it("never glues half a line to the rest of another", async () => {
    const { heard, shown, gone, celsius } = started();
    const first = await plugIn();
    await shown("listening");
    first.write("\n501\n10");
    await heard(501);
    await first.close();
    await rm(name);
    await gone();
    const second = await plugIn();
    const traffic = setInterval(() => second.write("84.3\n503\n"), 20);
    await heard(503);
    clearInterval(traffic);
    expect(celsius().slice(0, 2)).toEqual([501, 503]);
  });

  it("says that another program may be reading when a second reader takes everything", async () => {
    const pty = await plugIn();
    const { shown, link, heard } = started();
    await shown("listening");
    pty.write("\n501\n");
    await heard(501);
    const thief = spawn("cat", [pty.path]);
    open.push({ close: async () => void thief.kill("SIGKILL") });
    const stolen = once(thief.stdout, "data");
    const traffic = setInterval(() => pty.write("502\n"), 5);
    await stolen;
    await shown("silent");
    clearInterval(traffic);
    expect(link.status.message).toMatch(/another program may be reading this port/);
  });

  it("reads on after NUL, broken bytes, a boot banner and a flood without line ends", async () => {
    const { heard, shown, link, until } = started({ silenceSeconds: 5 });
    const pty = await plugIn();
    await shown("listening");
    pty.write("\nThermometer v1.2\nready\n10\u000084.3\n");
    pty.write(Buffer.from([0xff, 0xfe, 0x0a]));
    await until(() => link.status.refusedLines === 4);
    for (let sent = 0; sent < 20; sent++) pty.write("7".repeat(1000));
    pty.write("\n501.5\n");
    await heard(501.5);
    expect(link.status).toMatchObject({ acceptedLines: 1, refusedLines: 4, overlongLines: 1 });
  });

  it("says that a port is missing, then opens it when it comes", async () => {
    const { heard, shown, link } = started();
    await shown("waiting");
    expect(link.status.message).toBe(
      `Cannot open ${name}: there is no such port. Plug the adapter in. Run \`bakeside ports\` for the ports here.`,
    );
    const pty = await plugIn();
    const traffic = setInterval(() => pty.write("501\n"), 20);
    await heard(501);
    clearInterval(traffic);
  });

  it("says that a port is busy while another link holds it, and takes it over afterwards", async () => {
    const pty = await plugIn();
    const first = started({ silenceSeconds: 3600 });
    await first.shown("listening");
    const second = started();
    await second.shown("waiting");
    expect(second.link.status.message).toBe(
      `Cannot open ${name}: it is in use; another program may be reading this port. Close that program.`,
    );
    await first.link.close();
    const traffic = setInterval(() => pty.write("501\n"), 20);
    await second.heard(501);
    clearInterval(traffic);
  });

  it("opens and closes twenty times without losing the lock", async () => {
    const pty = await plugIn();
    for (let round = 1; round <= 20; round++) {
      const { link, shown, heard } = started();
      await shown("listening");
      pty.write(`\n${round}\n`);
      await heard(round);
      await link.close();
    }
  });
});
