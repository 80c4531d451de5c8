import { once } from "node:events";
import { type AddressInfo, createServer, type Socket } from "node:net";
import { afterEach, describe, expect, it } from "vitest";
import { systemClock } from "#daemon/clock";
import { askPort } from "#daemon/link/asking";
import { openPty } from "#simulators/pty";
import { ModbusSlave } from "#tests/helpers/modbus-slave";
import { ScpiResponder } from "#tests/helpers/scpi-responder";

const closing: (() => Promise<unknown> | unknown)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

async function pty() {
  const line = await openPty();
  closing.push(() => line.close());
  return line;
}

async function bus() {
  const line = await pty();
  const slave = new ModbusSlave((bytes) => line.write(bytes));
  line.onInput((bytes) => slave.take(bytes));
  return { slave, address: line.path };
}

async function instrument() {
  const line = await pty();
  const responder = new ScpiResponder((text) => line.write(Buffer.from(text)));
  line.onInput((bytes) => responder.take(bytes));
  return { line, responder, address: line.path };
}

async function box(make: (send: (bytes: Buffer) => void) => (bytes: Uint8Array) => void) {
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on("error", () => {});
    const take = make((bytes) => void socket.write(bytes));
    socket.on("data", take);
  });
  closing.push(() => {
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  server.listen(0, "127.0.0.1");
  await once(server, "listening");
  return `tcp://127.0.0.1:${(server.address() as AddressInfo).port}`;
}

function ask(address: string, seconds?: number) {
  return askPort({ address, baudRate: 9600, clock: systemClock, seconds });
}

describe("asking a port", () => {
  it("finds a SCPI instrument by its identity, and what it measures", async () => {
    const { responder, address } = await instrument();
    responder.answers.set("FETCH?", () => "+5.124E+02");
    const { formats, heard, fault } = await ask(address);
    expect(fault).toBeNull();
    expect(heard).toEqual(["Bakeside tests,Made-up thermometer,0,1.0"]);
    expect(formats.map(({ spec, preview }) => ({ spec, preview }))).toEqual([
      { spec: "scpi:FETCh?=celsius", preview: { celsius: 512.4 } },
    ]);
    expect(responder.lines.every((line) => line.endsWith("?"))).toBe(true);
  });

  it("finds the units of a bus, and their registers as temperatures", async () => {
    const { slave, address } = await bus();
    slave.units.set(3, { input: { 0: 9605, 1: 0, 2: 0, 3: 0 } });
    slave.units.set(247, { holding: { 0: 0x4470, 1: 0x71ec } });
    const { formats, heard, fault } = await ask(address);
    expect(fault).toBeNull();
    expect(heard).toEqual(["unit 3", "unit 247"]);
    expect(formats.map(({ spec }) => spec)).toEqual(
      expect.arrayContaining([
        "modbus:unit=3;input 0 int16 *0.1=celsius",
        "modbus:unit=247;holding 0 float32=celsius",
      ]),
    );
    const float = formats.find(({ spec }) => spec.includes("float32"));
    expect(float?.preview.celsius).toBeCloseTo(961.78, 3);
    expect(slave.requests.every(({ code }) => code === 3 || code === 4)).toBe(true);
    expect(slave.mostOutstanding).toBe(1);
  });

  it("proposes both readings of a small integer, the tenths first", async () => {
    const { slave, address } = await bus();
    slave.units.set(1, { input: { 0: 235, 1: 0, 2: 0, 3: 0 } });
    const { formats } = await ask(address);
    expect(formats.map(({ spec, preview }) => `${spec} ${preview.celsius}`)).toEqual([
      "modbus:unit=1;input 0 int16 *0.1=celsius 23.5",
      "modbus:unit=1;input 0 int16=celsius 235",
    ]);
  });

  it("finds a Modbus/TCP gateway and a box that passes RTU frames on", async () => {
    const held = { input: { 0: 9605, 1: 0, 2: 0, 3: 0 } };
    const answering = (isTcp: boolean) => (send: (bytes: Buffer) => void) => {
      const slave = new ModbusSlave(send, isTcp);
      slave.units.set(1, held);
      return (bytes: Uint8Array) => slave.take(bytes);
    };
    expect((await ask(await box(answering(true)))).formats[0]?.spec).toBe(
      "modbus-tcp:unit=1;input 0 int16 *0.1=celsius",
    );
    expect((await ask(await box(answering(false)))).formats[0]?.spec).toBe(
      "modbus:unit=1;input 0 int16 *0.1=celsius",
    );
  });

  it("comes to its end in time when nobody answers", async () => {
    const line = await pty();
    const from = performance.now();
    expect(await ask(line.path, 1.5)).toEqual({ formats: [], heard: [], fault: null });
    expect(performance.now() - from).toBeLessThan(3000);
  });

  it("takes lines that come by themselves for no identity", async () => {
    const { line, responder, address } = await instrument();
    responder.answers.clear();
    const traffic = setInterval(
      () => line.write(Buffer.from('{"s":1,"T":512.4,"P":1013,"D":0}\n1;512.4\n')),
      20,
    );
    closing.push(() => clearInterval(traffic));
    expect((await ask(address, 2)).formats).toEqual([]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { address: "/dev/bakeside-missing", message: /there is no such port/ },
    { address: "tcp://",                message: /write it as tcp:\/\/host:port/ },
    { address: "file:/tmp/a.csv",       message: /it is a recording/ },
  ])("says why $address cannot be asked", async ({ address, message }) => {
    const { fault } = await ask(address);
    expect(fault?.message).toMatch(message);
  });
});
