import { once } from "node:events";
import { connect, type Socket } from "node:net";
import { afterEach, describe, expect, it } from "vitest";
import { type LineOut, openLineOut } from "#simulators/line-out";

const opened: LineOut[] = [];

afterEach(async () => {
  for (const line of opened.splice(0)) await line.close();
});

describe("a line over TCP", () => {
  it("drops what nobody hears, and carries bytes both ways once somebody is there", async () => {
    const line = await openTcp();
    expect(line.isListening()).toBe(false);
    expect(line.write("lost")).toBe(false);

    const socket = await connected(line);
    await expect.poll(() => line.isListening()).toBe(true);
    expect(line.write("s=1.0\r\n")).toBe(true);
    expect(String((await once(socket, "data"))[0])).toBe("s=1.0\r\n");

    const heard = new Promise<Buffer>((resolve) => line.onInput(resolve));
    socket.write("ask");
    expect(String(await heard)).toBe("ask");
  });

  it("speaks to everybody who is connected", async () => {
    const line = await openTcp();
    const sockets = [await connected(line), await connected(line)];
    const heard = sockets.map((socket) => once(socket, "data"));
    // Both connections are known here once each has been answered.
    const answered = new Set<string>();
    line.onInput((bytes) => answered.add(String(bytes)));
    sockets.forEach((socket, index) => {
      socket.write(`${index}`);
    });
    await expect.poll(() => answered.size).toBe(2);
    line.write("both");
    expect((await Promise.all(heard)).map(([bytes]) => String(bytes))).toEqual(["both", "both"]);
  });

  it("hangs up on closing, and can be had again on the same port", async () => {
    const line = await openTcp();
    const socket = await connected(line);
    const hungUp = once(socket, "close");
    await line.close();
    await hungUp;
    opened.pop();

    const again = await openLineOut("tcp", Number(new URL(line.address).port));
    opened.push(again);
    expect(again.address).toBe(line.address);
  });
});

describe("a line on a pseudo-terminal", () => {
  it("is a device of this machine, or TCP where none can be had", async () => {
    const line = await openLineOut("pty");
    opened.push(line);
    expect(line.address).toMatch(process.platform === "linux" ? /^\/dev\/pts\/\d+$/ : /^(\/dev\/|tcp:)/);
  });
});

async function openTcp(): Promise<LineOut> {
  const line = await openLineOut("tcp");
  opened.push(line);
  return line;
}

async function connected(line: LineOut): Promise<Socket> {
  const { hostname, port } = new URL(line.address);
  const socket = connect(Number(port), hostname);
  socket.on("error", () => {});
  await once(socket, "connect");
  return socket;
}
