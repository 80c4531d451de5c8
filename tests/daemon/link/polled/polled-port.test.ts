import { once } from "node:events";
import { mkdtemp, rename, rm, symlink } from "node:fs/promises";
import { type AddressInfo, createServer, type Server, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { openPty, type Pty } from "#simulators/pty";
import { askedLab } from "#tests/helpers/asked-lab";
import { ModbusSlave, rtuFrame } from "#tests/helpers/modbus-slave";
import { ScpiResponder } from "#tests/helpers/scpi-responder";

const closing: (() => Promise<unknown> | unknown)[] = [];
let lab = askedLab();

beforeEach(() => {
  lab = askedLab();
});
afterEach(async () => {
  await lab.close();
  for (const close of closing.splice(0).reverse()) await close();
});

async function pty(): Promise<Pty> {
  const line = await openPty();
  closing.push(() => line.close());
  return line;
}

/** Units on a real pseudo-terminal. */
async function bus() {
  const line = await pty();
  const slave = new ModbusSlave((bytes) => line.write(bytes));
  line.onInput((bytes) => slave.take(bytes));
  slave.units.set(1, { input: { 0: 9605, 1: 241, 2: 0x71ec, 3: 0x4470 }, holding: { 0: 10_132, 7: 55 } });
  slave.units.set(2, { input: { 0: 2222 } });
  return { line, slave, address: line.path };
}

/** A SCPI instrument on a real pseudo-terminal. */
async function instrument() {
  const line = await pty();
  const responder = new ScpiResponder((text) => line.write(Buffer.from(text)));
  line.onInput((bytes) => responder.take(bytes));
  responder.answers.set("READ?", () => "+5.124E+02");
  responder.answers.set("SENSE:CJUNCTION?", () => "24.1,CEL");
  return { line, responder, address: line.path };
}

/** A box on the network that says what a slave says. */
async function gateway(isTcp: boolean) {
  const sockets = new Set<Socket>();
  const slave = new ModbusSlave((bytes) => {
    for (const socket of sockets) socket.write(bytes);
  }, isTcp);
  slave.units.set(1, { input: { 0: 9605 } });
  const server: Server = createServer((socket) => {
    sockets.add(socket);
    socket.on("error", () => {});
    socket.on("close", () => sockets.delete(socket));
    socket.on("data", (bytes) => slave.take(bytes));
  });
  closing.push(() => {
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  server.listen(0, "127.0.0.1");
  await once(server, "listening");
  return { slave, sockets, address: `tcp://127.0.0.1:${(server.address() as AddressInfo).port}` };
}

describe("a furnace asked by Modbus RTU on a pseudo-terminal", () => {
  it("is read round after round, several registers to several channels", async () => {
    const { slave, address } = await bus();
    const format =
      "modbus:unit=1;input 0 int16 *0.1=celsius;input 1 int16 *0.1=cold-celsius;holding 0 uint16 *0.1=hectopascals;every=0.1";
    const furnace = lab.ask({ address, format });
    await furnace.more(5);
    expect(furnace.readings[4]).toMatchObject({
      furnaceId: "furnace-1",
      celsius: 960.5,
      coldJunctionCelsius: 24.1,
      hectopascals: 1013.2,
    });
    expect(furnace.link.status).toMatchObject({
      kind: "listening",
      message: null,
      refusedLines: 0,
      unanswered: 0,
      format,
    });
    expect(furnace.link.status.acceptedLines).toBeGreaterThanOrEqual(10);
    expect(new Set(slave.requests.map(({ code, address: at, count }) => `${code}:${at}:${count}`))).toEqual(
      new Set(["3:0:1", "4:0:2"]),
    );
    expect(slave.mostOutstanding).toBe(1);
  });

  it("keeps its pace: a round begins every so often, whatever it took", async () => {
    const { slave, address } = await bus();
    slave.replies = (bytes) => [{ bytes, afterMilliseconds: 60 }];
    const furnace = lab.ask({ address, format: "modbus:input 0 int16 *0.1=celsius;every=0.2" });
    await furnace.more(2); // the first one waits until the line is quiet
    const from = furnace.readings.at(-1)?.receivedAtSeconds ?? 0;
    await furnace.more(10);
    const seconds = (furnace.readings.at(-1)?.receivedAtSeconds ?? 0) - from;
    // 10 rounds of 0.2 s; one of 0.2 s after each answer would take 2.6 s. The machine may be late.
    expect(seconds).toBeGreaterThan(1.95);
    expect(seconds).toBeLessThan(2.5);
  });

  it("never stacks questions up when the instrument is slower than the rounds", async () => {
    const { slave, address } = await bus();
    slave.replies = (bytes) => [{ bytes, afterMilliseconds: 250 }];
    const furnace = lab.ask({ address, format: "modbus:input 0 int16 *0.1=celsius;every=0.1;timeout=1" });
    await furnace.more(6);
    expect(slave.mostOutstanding).toBe(1);
    expect(furnace.link.status.unanswered).toBe(0);
  });

  it("says what to check when nobody answers, and goes on by itself when somebody does", async () => {
    const { slave, address } = await bus();
    const held = slave.units.get(1);
    slave.units.delete(1);
    const furnace = lab.ask({
      address,
      format: "modbus:input 0 int16 *0.1=celsius;every=0.1;timeout=0.1",
      silenceSeconds: 0.5,
    });
    await furnace.until(() => furnace.link.status.kind === "silent");
    await furnace.until(() => furnace.link.status.message !== null);
    expect(furnace.link.status.message).toBe(
      `No answer from unit 1 on ${address}. Check the unit number, the baud rate (9600) and the framing (8N1), and that A and B are not swapped.`,
    );
    expect(furnace.link.status.unanswered).toBeGreaterThanOrEqual(1);
    if (held) slave.units.set(1, held);
    await furnace.more(2);
    expect(furnace.link.status).toMatchObject({ kind: "listening", message: null });
  });

  it("says when answers come late, and never takes them", async () => {
    const { slave, address } = await bus();
    slave.replies = (bytes) => [{ bytes, afterMilliseconds: 150 }];
    const furnace = lab.ask({
      address,
      format: "modbus:input 0 int16 *0.1=celsius;every=0.1;timeout=0.1",
      silenceSeconds: 1,
    });
    await furnace.until(() => /answers late/.test(furnace.link.status.message ?? ""));
    expect(furnace.link.status.message).toMatch(
      /It answers late, after 0\.\d+ s: write timeout=1 in the format\./,
    );
    expect(furnace.readings).toEqual([]);
  });

  it("tells an exception at once, in words, and what else was asked goes on", async () => {
    const { address } = await bus();
    const furnace = lab.ask({
      address,
      format: "modbus:input 0 int16 *0.1=celsius;holding 500 int16=hectopascals;every=0.1",
    });
    await furnace.more(2);
    expect(furnace.celsius()).toEqual([960.5, 960.5]);
    expect(furnace.link.status).toMatchObject({
      kind: "listening",
      message: `holding register 500 of unit 1 on ${address}: unit 1 says illegal data address (2). Correct the format.`,
      lastRefusedLine: "holding register 500: unit 1 says illegal data address (2)",
    });
  });

  it("says that a broken probe is one", async () => {
    const { slave, address } = await bus();
    slave.units.set(1, { input: { 0: 0x8000, 1: 241 } });
    const furnace = lab.ask({
      address,
      format: "modbus:input 0 int16 *0.1=celsius;input 1 int16 *0.1=cold-celsius;every=0.1",
    });
    await furnace.more(1);
    expect(furnace.readings[0]).toMatchObject({ sensorWord: "open-circuit", coldJunctionCelsius: 24.1 });
    expect(furnace.readings[0]?.celsius).toBeUndefined();
  });

  it("passes over noise, other units' answers and wrong checksums between the frames, and shows them", async () => {
    const { slave, address } = await bus();
    const dirt = [
      Buffer.from([0x00, 0xff, 0x3c]),
      rtuFrame("02 04 02 11 11"),
      Buffer.from("0104021111ffff", "hex"),
      rtuFrame("01 03 02 22 22"),
    ];
    slave.replies = (bytes) => {
      const first = dirt[slave.requests.length % dirt.length] ?? Buffer.alloc(0);
      return [
        { bytes: first, afterMilliseconds: 0 },
        { bytes, afterMilliseconds: 20 },
      ];
    };
    const furnace = lab.ask({ address, format: "modbus:input 0 int16 *0.1=celsius;every=0.1" });
    await furnace.more(8);
    expect(new Set(furnace.celsius())).toEqual(new Set([960.5]));
    expect(furnace.link.status.refusedLines).toBeGreaterThanOrEqual(8);
    expect(
      dirt.map((bytes) =>
        bytes
          .toString("hex")
          .toUpperCase()
          .replace(/..(?=.)/g, "$& "),
      ),
    ).toContain(furnace.link.status.lastRefusedLine);
    expect(furnace.link.status.unanswered).toBe(0);
  });

  it("never reads a wrong value while one byte in a hundred is lost, both ways", {
    timeout: 90_000,
  }, async () => {
    const { line, slave, address } = await bus();
    let state = 20_261_125;
    const isLost = () => {
      state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
      return state / 2 ** 32 < 0.01;
    };
    const thinned = (bytes: Uint8Array) => Buffer.from(bytes.filter(() => !isLost()));
    line.onInput((bytes) => slave.take(thinned(bytes)));
    slave.replies = (bytes) => [{ bytes: thinned(bytes), afterMilliseconds: 0 }];
    let counter = 0;
    const said = new Set<number>();
    slave.units.set(1, {
      input: {
        get 0() {
          counter = (counter + 1) % 13_000;
          said.add(counter / 10);
          return counter;
        },
        1: 241,
      },
      holding: { 0: 10_132, 7: 55 },
    });
    const furnace = lab.ask({
      address,
      format:
        "modbus:input 0 int16 *0.1=celsius;input 1 int16 *0.1=cold-celsius;holding 0 uint16 *0.1=hectopascals;every=0.1;timeout=0.05",
    });
    await furnace.more(150);
    for (const { celsius, coldJunctionCelsius = 24.1, hectopascals = 1013.2 } of furnace.readings) {
      if (celsius !== undefined) expect(said).toContain(celsius);
      expect([coldJunctionCelsius, hectopascals]).toEqual([24.1, 1013.2]);
    }
    const times = furnace.celsius().filter((celsius) => celsius !== undefined);
    expect([...times].sort((a, b) => a - b)).toEqual(times); // none older than the one before
    expect(times.length).toBeGreaterThan(120);
    expect(furnace.link.status.refusedLines).toBeGreaterThan(5);
    expect(slave.requests.length).toBeGreaterThan(300);
  });

  it("sends nothing but requests to read", async () => {
    const { slave, address } = await bus();
    const furnace = lab.ask({
      address,
      format: "modbus:input 0 int16 *0.1=celsius;holding 0 uint16 *0.1=hectopascals;every=0.1",
    });
    await furnace.more(3);
    const frames = Buffer.concat(slave.heard);
    for (let at = 0; at + 8 <= frames.length; at += 8)
      expect(["010300000001840a", "01040000000131ca"]).toContain(frames.subarray(at, at + 8).toString("hex"));
  });

  it("is heard again after its port vanished and came back", async () => {
    const folder = await mkdtemp(join(tmpdir(), "bakeside-asked-"));
    closing.push(() => rm(folder, { recursive: true }));
    const name = join(folder, "usb-adapter");
    const plugIn = async () => {
      const each = await bus();
      await symlink(each.address, `${name}.new`);
      await rename(`${name}.new`, name);
      return each;
    };
    const furnace = lab.ask({
      address: name,
      format: "modbus:input 0 int16 *0.1=celsius;every=0.1",
      silenceSeconds: 1,
    });
    for (let round = 0; round < 4; round++) {
      const { line } = await plugIn();
      await furnace.more(3);
      await line.close();
      await rm(name);
      await furnace.until(() => furnace.link.status.kind !== "listening");
    }
    expect(new Set(furnace.celsius())).toEqual(new Set([960.5]));
  });
});

describe("several furnaces on one bus", () => {
  const format = (unit: number) => `modbus:unit=${unit};input 0 int16 *0.1=celsius;every=0.1;timeout=0.2`;

  it("are asked in turn on one opening, each with its own status", async () => {
    const { slave, address } = await bus();
    const [first, second] = [
      lab.ask({ address, format: format(1) }),
      lab.ask({ address, format: format(2) }),
    ];
    await Promise.all([first.more(5), second.more(5)]);
    expect(new Set(first.celsius())).toEqual(new Set([960.5]));
    expect(new Set(second.celsius())).toEqual(new Set([222.2]));
    expect(slave.mostOutstanding).toBe(1);
    expect([first.link.status.kind, second.link.status.kind]).toEqual(["listening", "listening"]);
  });

  it("do not lose each other when one of them is silent, changed or taken away", async () => {
    const { slave, address } = await bus();
    const first = lab.ask({ address, format: format(1), silenceSeconds: 0.5 });
    const missing = lab.ask({ address, format: format(9), silenceSeconds: 0.5 });
    await missing.until(() => missing.link.status.kind === "silent");
    expect(missing.link.status.message).toMatch(/^No answer from unit 9 on /);
    expect(first.link.status).toMatchObject({ kind: "listening", message: null });
    await first.more(2);
    await missing.link.close();
    const second = lab.ask({ address, format: format(2), silenceSeconds: 0.5 });
    await Promise.all([first.more(3), second.more(3)]);
    await first.link.close();
    await second.more(3);
    expect(first.statuses.map(({ kind }) => kind)).not.toContain("waiting");
    expect(first.statuses.map(({ kind }) => kind)).not.toContain("silent");
    expect(second.statuses.every(({ kind }) => kind === "listening" || kind === "opening")).toBe(true);
    expect(slave.mostOutstanding).toBe(1);
  });

  it("must have the same baud rate; the one that has not is told, and takes over when it is alone", async () => {
    const { address } = await bus();
    const first = lab.ask({ address, format: format(1) });
    await first.more(1);
    const second = lab.ask({ address, format: format(2), baudRate: 19_200 });
    expect(second.link.status).toMatchObject({
      kind: "absent",
      message: `${address} is open at 9600 8N1 for furnace-1. Set the same baud rate and framing here.`,
    });
    await first.link.close();
    await second.more(1);
    expect(second.link.status).toMatchObject({ kind: "listening", message: null });
  });

  it("are all asked again after they were changed all at once, with other settings too", async () => {
    const { address } = await bus();
    for (let round = 0; round < 8; round++) {
      const baudRates = [9600, round % 2 === 0 ? 9600 : 19_200];
      const both = baudRates.map((baudRate, index) =>
        lab.ask({ address, format: format(index + 1), baudRate }),
      );
      if (round % 2 === 0) await Promise.all(both.map((furnace) => furnace.more(1)));
      await Promise.all(both.map((furnace) => furnace.link.close()));
    }
    const left = [1, 2].map((unit) => lab.ask({ address, format: format(unit) }));
    await Promise.all(left.map((furnace) => furnace.more(2)));
    const changed = left.map((furnace) => furnace.link.close()); // not waited for
    const next = [1, 2].map((unit) => lab.ask({ address, format: format(unit), baudRate: 19_200 }));
    await Promise.all([...changed, ...next.map((furnace) => furnace.more(2))]);
    expect(next.map((furnace) => furnace.link.status.kind)).toEqual(["listening", "listening"]);
  });

  it("can be closed and opened again at once", async () => {
    const { address } = await bus();
    for (let round = 0; round < 10; round++) {
      const furnace = lab.ask({ address, format: format(1) });
      await furnace.more(1);
      await furnace.link.close();
    }
  });
});

describe("a furnace asked over the network", () => {
  it("is read by RTU frames through a box that passes bytes on", async () => {
    const { address } = await gateway(false);
    const furnace = lab.ask({ address, format: "modbus:input 0 int16 *0.1=celsius;every=0.1" });
    await furnace.more(3);
    expect(new Set(furnace.celsius())).toEqual(new Set([960.5]));
  });

  it("is read by Modbus/TCP frames, also in pieces and with late ones between", async () => {
    const { slave, address } = await gateway(true);
    let before = Buffer.alloc(0);
    slave.replies = (bytes) => {
      const late = before;
      before = Buffer.from(bytes);
      return [
        { bytes: Buffer.concat([late, bytes.subarray(0, 5)]), afterMilliseconds: 0 },
        { bytes: bytes.subarray(5), afterMilliseconds: 10 },
      ];
    };
    const furnace = lab.ask({ address, format: "modbus-tcp:input 0 int16 *0.1=celsius;every=0.1" });
    await furnace.more(5);
    expect(new Set(furnace.celsius())).toEqual(new Set([960.5]));
    expect(furnace.link.status.unanswered).toBe(0);
  });

  it("is heard again after the gateway closed the connection", async () => {
    const { sockets, address } = await gateway(true);
    const furnace = lab.ask({ address, format: "modbus-tcp:input 0 int16 *0.1=celsius;every=0.1" });
    await furnace.more(2);
    for (const socket of sockets) socket.destroy();
    await furnace.until(() => furnace.link.status.kind === "waiting");
    await furnace.more(2);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { address: "/dev/ttyUSB9", format: "modbus-tcp:input 0 int16=celsius", framing: "8N1" as const, message: "it needs tcp://host:502" },
    { address: "/dev/ttyUSB9", format: "modbus:input 0 int16=celsius",     framing: "7E1" as const, message: "need eight data bits" },
    { address: "file:/tmp/a.csv", format: "scpi:READ?=celsius",            framing: "8N1" as const, message: "it is a recording" },
  ])("is refused in words: $message", ({ address, format, framing, message }) => {
    const furnace = lab.ask({ address, format, framing });
    expect(furnace.link.status).toMatchObject({ kind: "absent", message: expect.stringContaining(message) });
  });
});

describe("a furnace asked by SCPI on a pseudo-terminal", () => {
  it("is read query after query, as one reading", async () => {
    const { responder, address } = await instrument();
    const furnace = lab.ask({
      address,
      format: "scpi:READ?=celsius;SENSe:CJUNction?=cold-celsius;every=0.1",
    });
    await furnace.more(4);
    expect(furnace.readings[0]).toMatchObject({ celsius: 512.4, coldJunctionCelsius: 24.1 });
    expect(responder.mostOutstanding).toBe(1);
    expect(new Set(responder.lines)).toEqual(new Set(["READ?", "SENSe:CJUNction?"]));
  });

  it("waits for a slow instrument, never asking twice at once", async () => {
    const { responder, address } = await instrument();
    responder.delayMilliseconds = 400;
    const furnace = lab.ask({
      address,
      format: "scpi:READ?=celsius;SENSe:CJUNction?=cold-celsius;every=0.1",
    });
    await furnace.more(3);
    expect(furnace.readings[2]).toMatchObject({ celsius: 512.4, coldJunctionCelsius: 24.1 });
    expect(responder.mostOutstanding).toBe(1);
  });

  it("is asked once for its error when it does not answer, and the error is told", async () => {
    const { responder, address } = await instrument();
    const furnace = lab.ask({
      address,
      format: "scpi:FETCh:TEMP?=celsius;every=0.1;timeout=0.1",
      silenceSeconds: 1,
    });
    await furnace.until(() => furnace.link.status.message !== null);
    expect(furnace.link.status.message).toBe(
      `No answer to FETCh:TEMP? from the instrument on ${address}. It says -113, "Undefined header".`,
    );
    const errorQueries = () => responder.lines.filter((line) => line === "SYSTem:ERRor?").length;
    expect(errorQueries()).toBe(1);
    const asked = responder.lines.length;
    await furnace.until(() => responder.lines.length >= asked + 4);
    expect(errorQueries()).toBe(1);
    responder.answers.set("FETCH:TEMP?", () => "700.5");
    await furnace.more(1);
    expect(furnace.celsius()).toEqual([700.5]);
    expect(furnace.link.status.message).toBeNull();
  });

  it("tells no temperature of overflow, an open probe or a contradicting unit", async () => {
    const { responder, address } = await instrument();
    const answers = ["9.9E37", "0.00E+00,OPENTC", "9.91E37", "77.0,FAR", "0.00E+00,OVER", "512.4,CEL"];
    let at = 0;
    responder.answers.set("READ?", () => answers[at++ % answers.length] ?? null);
    const furnace = lab.ask({ address, format: "scpi:READ?=celsius;every=0.1;timeout=0.3" });
    await furnace.more(5);
    expect(furnace.readings.map(({ celsius, sensorWord }) => celsius ?? sensorWord)).toEqual([
      "above-range",
      "open-circuit",
      "no-value",
      "above-range",
      512.4,
    ]);
    expect(furnace.link.status.refusedLines).toBe(1);
    expect(furnace.link.status.lastRefusedLine).toMatch(/READ\?: .*says F, the format says celsius/);
  });

  it("says what to check when it is silent", async () => {
    const { responder, address } = await instrument();
    responder.answers.set("READ?", () => null);
    responder.answers.delete("*IDN?");
    responder.errors.length = 0;
    const mute = await pty();
    const furnace = lab.ask({
      address: mute.path,
      format: "scpi:READ?=celsius;every=0.1;timeout=0.1",
      silenceSeconds: 0.5,
    });
    await furnace.until(() => furnace.link.status.kind === "silent" && furnace.link.status.message !== null);
    expect(furnace.link.status.message).toBe(
      `No answer from the instrument on ${mute.path}. Check the instrument, its cable and the baud rate (9600) and the framing (8N1).`,
    );
    expect(address).not.toBe(mute.path);
  });
});
