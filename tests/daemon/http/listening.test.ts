import { afterAll, beforeAll, describe, expect, it, onTestFinished } from "vitest";
import { listenAnswerSchema } from "#shared/listening";
import { openPty, type Pty } from "#simulators/pty";
import { type KioskHouse, openKioskHouse } from "#tests/helpers/kiosk-house";

let house: KioskHouse;
let pty: Pty;
let traffic: NodeJS.Timeout;

beforeAll(async () => {
  house = await openKioskHouse();
  pty = await openPty();
  let second = 0;
  traffic = setInterval(() => {
    if (pty.isListening()) pty.write(`s=${second++} E=${(4.1 + second / 999).toFixed(4)} CJ=24.1\r\n`);
  }, 30);
});
afterAll(async () => {
  clearInterval(traffic);
  await pty.close();
  await house.close();
});

function ask(body: unknown, init: RequestInit = {}): Promise<Response> {
  return fetch(`${house.address}/api/listen`, {
    method: "POST",
    body: JSON.stringify(body),
    ...init,
    headers: { "content-type": "application/json", ...init.headers },
  });
}

describe("listening over HTTP", () => {
  it("proposes how a real pseudo-terminal can be read", async () => {
    const response = await ask({ port: pty.path });
    const answer = listenAnswerSchema.parse(await response.json());
    expect(response.status).toBe(200);
    expect(answer).toMatchObject({ port: pty.path, message: null });
    expect(answer.lines.at(-1)).toMatch(/^s=\d+ E=4\.\d{4} CJ=24\.1$/);
    expect(answer.proposals[0]).toMatchObject({
      format: "pairs:s=seconds,E=millivolts,CJ=cold-celsius",
      baudRate: 9600,
      framing: "8N1",
      isPolled: false,
      preview: { coldJunctionCelsius: 24.1 },
    });
  });

  it("is free at once for the next one when whoever listened has gone away", async () => {
    const quiet = await openPty();
    onTestFinished(() => quiet.close());
    const goneAway = new AbortController();
    const gone = ask({ port: quiet.path, seconds: 10 }, { signal: goneAway.signal }).catch(() => "gone");
    await expect.poll(() => quiet.isListening()).toBe(true);
    const other = await ask({ port: "/dev/ttyOther" });
    expect(other.status).toBe(409);
    expect((await other.json()).error).toMatch(/^Somebody is listening to \/dev\/\S+ already: wait until/);
    goneAway.abort();
    expect(await gone).toBe("gone");
    expect((await ask({ port: quiet.path, baudRate: 9600, seconds: 0.2 })).status).toBe(200);
    expect(quiet.isListening()).toBe(false);
  });

  it("asks nothing more when whoever asked has gone away", async () => {
    const quiet = await openPty();
    onTestFinished(() => quiet.close());
    let questions = 0;
    quiet.onInput(() => {
      questions += 1;
    });
    const goneAway = new AbortController();
    const asking = { port: quiet.path, baudRate: 9600, seconds: 0.2, asks: true };
    const gone = ask(asking, { signal: goneAway.signal }).catch(() => "gone");
    await expect.poll(() => questions, { timeout: 4000 }).toBeGreaterThan(0);
    goneAway.abort();
    expect(await gone).toBe("gone");
    const begin = performance.now();
    expect((await ask({ ...asking, asks: false })).status).toBe(200);
    // Everything that can be asked takes three times as long.
    expect(performance.now() - begin).toBeLessThan(1500);
    expect(questions).toBeLessThan(4);
    expect(quiet.isListening()).toBe(false);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "a port that is not there",  body: { port: "/dev/ttyNothing" },                status: 404, error: /^Cannot open \/dev\/ttyNothing: there is no such port\./ },
    { what: "a folder",                  body: { port: "/dev" },                           status: 422, error: /^Cannot open \/dev: it is a folder, not a serial port\./ },
    { what: "a socket of no form",       body: { port: "tcp://x" },                        status: 400, error: /^Cannot use the port tcp:\/\/x: write it as/ },
    { what: "a recording that is not there", body: { port: "file:/missing" },              status: 404, error: /^Cannot replay \/missing/ },
    { what: "no port",                   body: { baudRate: 9600 },                         status: 400, error: /port/ },
    { what: "a rate beyond all rates",   body: { port: "/dev/ttyUSB0", baudRate: 1e9 },    status: 400, error: /baudRate/ },
    { what: "an hour",                   body: { port: "/dev/ttyUSB0", seconds: 3600 },    status: 400, error: /seconds/ },
    { what: "a command",                 body: { port: "/dev/ttyUSB0", send: "START" },    status: 400, error: /send/ },
  ])("refuses $what with $status and one line", async ({ body, status, error }) => {
    const response = await ask(body);
    expect(response.status).toBe(status);
    const answer = await response.json();
    expect(Object.keys(answer)).toEqual(["error"]);
    expect(answer.error).toMatch(error);
    expect(answer.error).toMatch(/^[^\p{C}]{10,250}$/u);
  });

  it("refuses another page", async () => {
    const { status } = await ask({ port: pty.path }, { headers: { origin: "http://evil.example" } });
    expect(status).toBe(403);
  });
});
