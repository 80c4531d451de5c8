import { afterEach, describe, expect, it } from "vitest";
import { systemClock } from "#daemon/clock";
import { type HeardPort, type HearOptions, hearPort } from "#daemon/link/hear-port";
import { Bench } from "#simulators/bench";
import { benchOptionsSchema } from "#simulators/options";

let bench: Bench | null = null;

afterEach(async () => {
  await bench?.close();
  bench = null;
});

/** A furnace of the bench on a real pseudo-terminal, heard by the daemon; a bus has two of them. */
async function heardOf(said: object, options: Partial<HearOptions> = {}): Promise<HeardPort> {
  bench = await Bench.open(benchOptionsSchema.parse({ furnaces: 1, speed: 1, noise: 0, ...said }));
  bench.run();
  const usual: HearOptions = { baudRate: null, seconds: 2, asks: false, mostSeconds: 25 };
  return hearPort(bench.ports[0]?.port ?? "", { ...usual, ...options }, systemClock);
}

/** A number out of the newest line that was heard, read here by itself. */
function said({ best }: HeardPort, pattern: RegExp): number {
  return Number(pattern.exec(best?.lines.at(-1) ?? "")?.[1]);
}

describe("a simulated furnace on an unknown port", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { format: "pairs",      hertz: 10, baud: undefined, heardAt: 9600,    spec: "pairs:s=seconds,T=celsius,P=hectopascals,D=duty-fraction", channel: "celsius" as const,    pattern: /T=(\S+)/ },
    { format: "pairs",      hertz: 10, baud: 19_200,    heardAt: 19_200,  spec: "pairs:s=seconds,T=celsius,P=hectopascals,D=duty-fraction", channel: "celsius" as const,    pattern: /T=(\S+)/ },
    { format: "columns-mv", hertz: 1,  baud: 9600,      heardAt: 9600,    spec: "columns/semicolon:seconds,millivolts,cold-celsius",        channel: "millivolts" as const, pattern: /;(.+);/ },
    { format: "columns-mv", hertz: 10, baud: 38_400,    heardAt: 38_400,  spec: "columns/semicolon:seconds,millivolts,cold-celsius",        channel: "millivolts" as const, pattern: /;(.+);/ },
    { format: "json-cold",  hertz: 10, baud: 115_200,   heardAt: 115_200, spec: "json:s=seconds,T=celsius,CJ=cold-celsius,P=hectopascals",  channel: "celsius" as const,    pattern: /"T":([\d.]+)/ },
    { format: "number",     hertz: 10, baud: 57_600,    heardAt: 57_600,  spec: "number:celsius",                                           channel: "celsius" as const,    pattern: /^(.+)$/ },
  ])("is heard, in $format $hertz times a second at $heardAt baud, as $spec first", async ({ format, hertz, baud, heardAt, spec, channel, pattern }) => {
    const heard = await heardOf({ format, hertz, baud });
    const [first] = heard.proposals;
    expect(first).toMatchObject({ format: spec, baudRate: heardAt, framing: "8N1", isPolled: false });
    expect(first?.preview[channel]).toBe(said(heard, pattern));
    expect(first?.fits).toBe(first?.heard);
    expect(heard.message).toBeNull();
  });

  it.each([
    { format: "modbus", baud: 19_200, spec: "modbus:unit=1;input 0 int16 *0.1=celsius", who: "unit 1" },
    {
      format: "scpi",
      baud: 9600,
      spec: "scpi:MEASure:TEMPerature?=celsius",
      who: expect.stringMatching(/INVENTED/),
    },
  ])("answers in $format when it is asked at $baud baud", async ({ format, baud, spec, who }) => {
    const heard = await heardOf({ format, baud }, { baudRate: baud, seconds: 0.3, asks: true });
    const [first] = heard.proposals;
    expect(first).toMatchObject({ format: spec, baudRate: baud, isPolled: true, fits: 1, heard: 1 });
    expect(heard.answers).toEqual([who]);
    await bench?.close();
    const spoken = await heardOf({ format: "pairs", hertz: 10 }, { baudRate: 9600, seconds: 1.5 });
    // The same furnace, some seconds apart on its idle plateau.
    expect(Math.abs((first?.preview.celsius ?? 0) - said(spoken, /T=(\S+)/))).toBeLessThan(3);
  });

  it("is asked at one rate after the other, until it answers", async () => {
    const heard = await heardOf({ format: "modbus", baud: 19_200 }, { seconds: 0.1, asks: true });
    expect(heard.proposals[0]).toMatchObject({
      format: "modbus:unit=1;input 0 int16 *0.1=celsius",
      baudRate: 19_200,
      isPolled: true,
    });
  });

  it("is found with every other one on its bus", async () => {
    const bus = { format: "modbus", furnaces: 2, bus: "shared" };
    const heard = await heardOf(bus, { baudRate: 9600, seconds: 0.1, asks: true });
    expect(heard.answers).toEqual(["unit 1", "unit 2"]);
    expect(heard.proposals.map(({ format }) => format)).toEqual(
      expect.arrayContaining([
        "modbus:unit=1;input 0 int16 *0.1=celsius",
        "modbus:unit=2;input 0 int16 *0.1=celsius",
      ]),
    );
  });

  it("is not written to when it speaks by itself", async () => {
    const heard = await heardOf({ format: "pairs", hertz: 2 }, { seconds: 1, asks: true });
    expect(heard.proposals[0]?.isPolled).toBe(false);
    expect(heard.answers).toEqual([]);
  });
});
