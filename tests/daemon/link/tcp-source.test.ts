import { once } from "node:events";
import { type AddressInfo, createServer, type Server, type Socket } from "node:net";
import { afterEach, describe, expect, it } from "vitest";
import { systemClock } from "#daemon/clock";
import { Link } from "#daemon/link/link";
import { TcpSource } from "#daemon/link/tcp-source";

const servers: Server[] = [];
const links: Link[] = [];

afterEach(async () => {
  for (const link of links.splice(0)) await link.close();
  for (const server of servers.splice(0)) server.close();
});

/** A box on the network that says this to whoever connects. */
async function box(onConnect: (socket: Socket) => void, port = 0): Promise<number> {
  const server = createServer((socket) => {
    socket.on("error", () => {});
    onConnect(socket);
  });
  servers.push(server);
  server.listen(port, "127.0.0.1");
  await once(server, "listening");
  return (server.address() as AddressInfo).port;
}

/** A port on which nothing listens. */
async function freePort(): Promise<number> {
  const port = await box(() => {});
  const server = servers.pop();
  server?.close();
  return port;
}

describe("TCP source", () => {
  it.each([
    "tcp://",
    "tcp://host",
    "tcp://host:0",
    "tcp://host:70000",
    "tcp://host:x",
    "tcp://ho st:1",
    "tcp:host:1",
  ])("refuses %s", (address) => {
    expect(() => new TcpSource(address)).toThrow(
      `Cannot use the port ${address}: write it as tcp://host:port, such as tcp://192.168.1.20:4001`,
    );
  });

  it("hands on bytes until the other side closes, and says so", async () => {
    const port = await box((socket) => socket.end("\n501\n"));
    const source = new TcpSource(`tcp://127.0.0.1:${port}`);
    const heard: Uint8Array[] = [];
    const cause = await new Promise<Error>((resolve) => {
      source.open({ opened: () => {}, bytes: (chunk) => heard.push(chunk), lost: resolve, ended: () => {} });
    });
    expect(Buffer.concat(heard).toString()).toBe("\n501\n");
    expect(cause.message).toBe(
      `Lost tcp://127.0.0.1:${port}: the other side closed the connection. Check that the box is on and the address is right.`,
    );
  });

  it("says when nothing listens there", async () => {
    const port = await freePort();
    const cause = await new Promise<Error>((resolve) => {
      new TcpSource(`tcp://127.0.0.1:${port}`).open({
        opened: () => {},
        bytes: () => {},
        lost: resolve,
        ended: () => {},
      });
    });
    expect(cause.message).toBe(
      `Cannot reach tcp://127.0.0.1:${port}: nothing listens there. Check that the box is on and the address is right.`,
    );
  });

  it("tells nothing after it was closed, even before it was connected", async () => {
    const port = await box((socket) => socket.write("501\n"));
    const told: string[] = [];
    const source = new TcpSource(`tcp://127.0.0.1:${port}`);
    const tell = (what: string) => () => void told.push(what);
    source.open({ opened: tell("opened"), bytes: tell("bytes"), lost: tell("lost"), ended: tell("ended") });
    await source.close();
    await source.close();
    expect(told).toEqual([]);
  });

  it("is connected again by a link when the box comes back", async () => {
    const port = await box((socket) => socket.end("\n501\n502\n"));
    const heard: (number | undefined)[] = [];
    await new Promise<void>((resolve) => {
      const link = new Link({
        furnaceId: "test",
        address: `tcp://127.0.0.1:${port}`,
        baudRate: 9600,
        format: "number:celsius",
        clock: systemClock,
        onStatus: () => {},
        onReading: ({ celsius }) => {
          heard.push(celsius);
          if (heard.length >= 6) resolve();
        },
      });
      links.push(link);
      link.start();
    });
    expect(heard.slice(0, 6)).toEqual([501, 502, 501, 502, 501, 502]);
  });
});
