import { once } from "node:events";
import { PassThrough } from "node:stream";
import { text } from "node:stream/consumers";
import { fc, it as prop } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { emfMillivolts, referenceRangeCelsius, THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { readableRange } from "#core/thermocouple/temperature";
import { runConvert } from "#daemon/command/convert";
import { inputLines } from "#daemon/command/input-lines";
import { EMF_TABLES } from "#tests/core/thermocouple/published-tables";
import { call } from "#tests/helpers/call";

/** `bakeside convert …` with a column on standard input. */
async function column(args: readonly string[], ...chunks: readonly (string | Uint8Array)[]) {
  const out = new PassThrough();
  const notes = new PassThrough();
  const heard = Promise.all([text(out), text(notes)]);
  const code = await runConvert(args, sent(chunks), out, notes);
  out.end();
  notes.end();
  const [said, noted] = await heard;
  return { code, lines: said.split("\n").slice(0, -1), notes: noted };
}

async function* sent(chunks: readonly (string | Uint8Array)[]) {
  yield* chunks.map((chunk) => Buffer.from(chunk));
}

/** Three printed points of a type, spread over its table, that can also be read back. */
function printedPoints(type: ThermocoupleType): [number, number][] {
  const { points } = EMF_TABLES.types[type];
  const readable = points.filter(([celsius]) => celsius >= readableRange(type).from.celsius);
  return [0.3, 0.6, 0.95].map(
    (share) => readable[Math.floor(share * readable.length)] ?? [Number.NaN, Number.NaN],
  );
}

describe("convert", () => {
  const published = THERMOCOUPLE_TYPES.flatMap((type) =>
    printedPoints(type).map(([celsius, millivolts]) => ({ type, celsius, millivolts })),
  );

  // NIST SRD 60 prints mV to 1 µV: half a digit, and what that is in kelvins.
  it.each(published)("of type $type, $celsius °C, is the printed $millivolts mV", async (point) => {
    const { type, celsius, millivolts } = point;
    const forward = await call("convert", "--type", type, "--celsius", String(celsius), "--json");
    const inverse = await call("convert", "--type", type, "--mv", String(millivolts), "--json");
    expect([forward.code, forward.notes, inverse.code, inverse.notes]).toEqual([0, "", 0, ""]);
    const there = JSON.parse(forward.out);
    const back = JSON.parse(inverse.out);
    expect(Math.abs(there.millivolts - millivolts)).toBeLessThanOrEqual(0.0005);
    expect(Math.abs(back.celsius - celsius)).toBeLessThanOrEqual(
      0.5 / back.seebeckMicrovoltsPerKelvin + 1e-3,
    );
    expect(there).toMatchObject({ type, celsius, coldJunctionCelsius: 0 });
  });

  it.each(EMF_TABLES.cold_junction_examples)(
    "of type $type, $measured_emf_mv mV with the cold junction at $reference_junction_c °C, adds EMFs and not degrees",
    async (example) => {
      const { out } = await call(
        ...["convert", "--type", example.type, "--mv", String(example.measured_emf_mv)],
        ...["--cold", String(example.reference_junction_c), "--json"],
      );
      const { celsius, coldJunctionCelsius } = JSON.parse(out);
      expect(coldJunctionCelsius).toBe(example.reference_junction_c);
      expect(celsius).toBeCloseTo(example.true_temperature_c, 1);
    },
  );

  it("says everything that belongs to the temperature", async () => {
    const { out } = await call("convert", "--type", "s", "--celsius", "960", "--cold", "24", "--json");
    expect(JSON.parse(out)).toEqual({
      type: "S",
      celsius: 960,
      millivolts: expect.closeTo(9.128 - 0.1365, 2),
      coldJunctionCelsius: 24,
      seebeckMicrovoltsPerKelvin: expect.closeTo(11.4, 1),
      range: { fromCelsius: -50, toCelsius: 1768.1 },
      // IEC 60584-1 and ASTM E230 by public summaries, worked out by hand at 960 °C.
      toleranceKelvin: { "iec-1": 1, "iec-2": 2.4, "astm-standard": 2.4, "astm-special": 0.96 },
    });
  });

  it("reads out to people, and says where the cold junction was taken", async () => {
    const { code, out, notes } = await call("convert", "--type", "K", "--mv", "33.275");
    expect({ code, notes }).toEqual({ code: 0, notes: "" });
    expect(out).toMatch(/^33\.275 mV is (799\.99|800\.0[01]) °C\n/);
    expect(out).toMatch(/\ncold junction +0 °C\n/);
    expect(out).toMatch(/\nSeebeck coefficient there +4[01]\.\d+ µV\/K\n/);
    expect(out).toMatch(/\nnew, iec-2 +± 6\.00 K\n/);
  });

  it("takes numbers below zero without an equals sign", async () => {
    const { out } = await call("convert", "--type", "K", "--celsius", "-20", "--cold", "-5", "--json");
    const { celsius, coldJunctionCelsius } = JSON.parse(out);
    expect({ celsius, coldJunctionCelsius }).toEqual({ celsius: -20, coldJunctionCelsius: -5 });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { args: "--type S --mv 25 --cold 24", says: "25 mV with the cold junction at 24 °C is above type S, which ends at 18.557 mV, 1768.1 °C" },
    { args: "--type S --mv -1",           says: "-1 mV with the cold junction at 0 °C is below type S, which can be read from -0.236 mV, -50 °C" },
    { args: "--type K --celsius 1400",    says: "1400 °C is above type K, which is defined from -270 to 1372 °C" },
    { args: "--type B --mv 0.2",          says: "0.2 mV with the cold junction at 0 °C is below type B, which can be read from 0.291 mV, 250 °C: its EMF is not unique below 42 °C and hardly moves up to 250 °C" },
  ])("says no to $args, exit code 1", async ({ args, says }) => {
    for (const json of [[], ["--json"]])
      expect(await call("convert", ...args.split(" "), ...json)).toEqual({
        code: 1,
        out: "",
        notes: `bakeside convert: ${says}\n`,
      });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "no type",                 args: "--mv 1",                      says: "--type is missing: the letter of the thermocouple" },
    { what: "an unknown type",         args: "--type Q --mv 1",             says: '--type takes one of B, E, J, K, N, R, S, T, not "Q"' },
    { what: "both values",             args: "--type S --mv 1 --celsius 2", says: "choose --mv or --celsius" },
    { what: "a value in words",        args: "--type S --mv lots",          says: '--mv takes a number from -1000000000 to 1000000000, not "lots"' },
    { what: "a comma in a value",      args: "--type S --celsius 1,5",      says: '--celsius takes a number from -1000000000 to 1000000000, not "1,5"' },
    { what: "a hexadecimal value",     args: "--type S --mv 0x10",          says: '--mv takes a number from -1000000000 to 1000000000, not "0x10"' },
    { what: "a cold junction too cold", args: "--type B --mv 1 --cold -5",  says: '--cold takes 0 to 1820 °C for type B, not "-5"' },
    { what: "a column's option",       args: "--type S --mv 1 --from mv",   says: "--from is for a column on standard input" },
    { what: "an option without value", args: "--type S --mv",               says: "--mv needs a value" },
    { what: "a plain word",            args: "6.743 --type S",              says: '"6.743" is one word too many' },
  ])("refuses $what in one line, exit code 2", async ({ args, says }) => {
    expect(await call("convert", ...args.split(" "))).toEqual({
      code: 2,
      out: "",
      notes: `bakeside convert: ${says}. See: bakeside help\n`,
    });
  });

  it("without a value and without standard input says what to give", async () => {
    const nobody = new PassThrough();
    await expect(runConvert(["--type", "S"], null, nobody, nobody)).rejects.toThrow(
      "bakeside convert: give --mv or --celsius, or a column of numbers on standard input. See: bakeside help",
    );
    await expect(column(["--type", "S"], "# nothing\n\n")).rejects.toThrow("nothing came on standard input");
  });
});

describe("convert of a column", () => {
  it("gives one temperature a line, in the same order", async () => {
    // Type K, 20, 500 and 1000 °C: 0.798, 20.644 and 41.276 mV (NIST SRD 60).
    const { code, lines, notes } = await column(["--type", "K"], "0.798\n41.276\n20.644\n");
    expect({ code, notes }).toEqual({ code: 0, notes: "" });
    expect(lines.map((line) => Math.round(Number(line)))).toEqual([20, 1000, 500]);
  });

  it("adds the cold junction's EMF to each", async () => {
    // 41.276 − 0.798 mV: 1000 °C seen from 20 °C.
    const { lines } = await column(["--type", "K", "--cold", "20"], "40.478\n");
    expect(Number(lines[0])).toBeCloseTo(1000, 1);
  });

  it("takes °C with --from celsius", async () => {
    const { lines } = await column(["--type", "S", "--from", "celsius"], "celsius\n800\n-10\n");
    // NIST SRD 60 prints 7.345 and −0.053 mV.
    expect(lines.map((line) => Number(line).toFixed(3))).toEqual(["7.345", "-0.053"]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "carriage returns",              csv: "41.276\r\n20.644\r\n" },
    { what: "carriage returns alone",        csv: "41.276\r20.644\r" },
    { what: "no line end at the end",        csv: "41.276\n20.644" },
    { what: "a BOM, remarks and blank lines", csv: "\uFEFF# k\n\n41.276\n  \n# half\n20.644\n" },
    { what: "a header",                      csv: "mV\n41.276\n20.644\n" },
    { what: "a header in µV",                csv: "emf [µV]\n41276\n20644\n" },
    { what: "other columns",                 csv: "emf_mv,seconds\n41.276,0\n20.644,1\n" },
    { what: "other columns and no header",   csv: "41.276,0\n20.644,1\n" },
    { what: "quotation marks",               csv: '"emf, mV";"note"\n"41,276";"a; b"\n"20,644";""\n' },
    { what: "semicolons, decimal commas",    csv: "41,276;0\n20,644;1\n" },
    { what: "tabs",                          csv: "41,276\t0\n20.644\t1\n" },
    { what: "decimal commas in one column",  csv: "emf\n41,276\n20,644\n" },
    { what: "exponents",                     csv: "4.1276e1\n206.44E-1\n" },
  ])("is read with $what", async ({ csv }) => {
    const { code, lines, notes } = await column(["--type", "K"], csv);
    expect({ code, notes }).toEqual({ code: 0, notes: "" });
    expect(lines.map((line) => Math.round(Number(line)))).toEqual([1000, 500]);
  });

  it("keeps the place of what it cannot convert, and says each kind once", async () => {
    const csv = `7.345\n\nOPEN\nnan\nabc\n99\n-4\n7.345\n98\n${"1".repeat(5000)}\n9.587\n`;
    const { code, lines, notes } = await column(["--type", "S"], csv);
    expect(code).toBe(1);
    expect(lines.map((line) => (line === "" ? "" : Math.round(Number(line))))).toEqual([
      800,
      "",
      "",
      "",
      "",
      "",
      800,
      "",
      "",
      1000,
    ]);
    expect(notes.split("\n")).toEqual([
      'bakeside convert: line 3: no value, "OPEN" (and 1 more such). Its place is kept empty',
      'bakeside convert: line 5: "abc" is no clear number. Its place is kept empty',
      "bakeside convert: line 6: 99 mV with the cold junction at 0 °C is above type S, which ends at 18.694 mV, 1768.1 °C (and 1 more such). Its place is kept empty",
      "bakeside convert: line 7: -4 mV with the cold junction at 0 °C is below type S, which can be read from -0.236 mV, -50 °C. Its place is kept empty",
      "bakeside convert: line 10: longer than 4096 characters. Its place is kept empty",
      "",
    ]);
  });

  it("with --json gives one object a line, with its line number", async () => {
    const { code, lines } = await column(["--type", "S", "--cold", "20", "--json"], "mv\n7.232\n99\nx\n");
    expect(code).toBe(1);
    expect(lines.map((line) => JSON.parse(line))).toEqual([
      {
        line: 2,
        type: "S",
        celsius: expect.closeTo(800, 0),
        millivolts: 7.232,
        coldJunctionCelsius: 20,
        seebeckMicrovoltsPerKelvin: expect.closeTo(10.87, 1),
      },
      ...[
        { line: 3, millivolts: 99, refusal: "above-range" },
        { line: 4, millivolts: null, refusal: "no-number" },
      ].map((more) => ({
        type: "S",
        celsius: null,
        coldJunctionCelsius: 20,
        seebeckMicrovoltsPerKelvin: null,
        ...more,
      })),
    ]);
  });

  it("does not take a thousand for one: 1,200 °C is left out", async () => {
    const { lines, notes } = await column(["--type", "S", "--from", "celsius"], "999\n1,200\n");
    expect(lines).toEqual([expect.stringMatching(/^9\.57/), ""]);
    expect(notes).toContain('line 2: "1,200" is no clear number');
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "a number or two",            from: "mv",      csv: "6,743\n",            says: '"6,743" could be one number or two. Write a decimal point, part cells by ; or begin with a header line' },
    { what: "°C where mV are expected",   from: "mv",      csv: "temp_celsius\n800\n", says: "the first column, temp_celsius, is the temperature: say --from celsius" },
    { what: "mV where °C are expected",   from: "celsius", csv: "mV\n8\n",             says: "the first column, mV, is the emf: say --from mv" },
    { what: "another column first",       from: "mv",      csv: "seconds,mv\n0,8\n",   says: "the first column, seconds, is the time: put the emf first" },
    { what: "a file in UTF-16",           from: "mv",      csv: Buffer.from("\uFEFF6.7\n", "utf16le"), says: "this is not text: save it as UTF-8 text and try again" },
  ])("refuses $what by the first line", async ({ from, csv, says }) => {
    await expect(column(["--type", "S", "--from", from], csv)).rejects.toThrow(
      `bakeside convert: standard input line 1: ${says}. See: bakeside help`,
    );
  });

  it("refuses another word for --from", async () => {
    await expect(column(["--type", "S", "--from", "volts"], "1\n")).rejects.toThrow(
      'bakeside convert: --from takes mv or celsius, not "volts"',
    );
  });

  it("answers while the column still comes", async () => {
    const input = new PassThrough();
    const out = new PassThrough();
    const done = runConvert(["--type", "K"], input, out, new PassThrough());
    input.write("41.276\n20.6");
    const [first] = await once(out, "data");
    expect(Math.round(Number(first))).toBe(1000);
    const rest = once(out, "data");
    input.end("44\n");
    expect(await done).toBe(0);
    expect(Math.round(Number((await rest)[0]))).toBe(500);
  });

  it("goes through a million lines and never holds many of them", async () => {
    const thousand = Buffer.from(Array.from({ length: 1000 }, (_, index) => `${index / 100}\n`).join(""));
    let asked = 0;
    let answered = 0;
    let mostHeld = 0;
    async function* million() {
      for (; asked < 1_000_000; asked += 1000) {
        mostHeld = Math.max(mostHeld, asked - answered);
        yield thousand;
      }
    }
    const out = new PassThrough();
    out.on("data", (bytes: Buffer) => {
      for (const byte of bytes) if (byte === 0x0a) answered++;
    });
    expect(await runConvert(["--type", "S"], million(), out, new PassThrough())).toBe(0);
    out.end();
    await once(out, "end");
    expect(answered).toBe(1_000_000);
    expect(mostHeld).toBeLessThanOrEqual(10_000);
  });

  prop.prop([fc.constantFrom(...THERMOCOUPLE_TYPES), fc.double({ min: 0, max: 1, noNaN: true })])(
    "there and back is the same temperature",
    async (type, share) => {
      const { from } = readableRange(type);
      const celsius = from.celsius + share * (referenceRangeCelsius(type).to - from.celsius);
      const millivolts = emfMillivolts(type, celsius);
      const { lines } = await column(["--type", type, "--json"], `${millivolts}\n`);
      expect(JSON.parse(lines[0] ?? "{}").celsius).toBeCloseTo(celsius, 6);
    },
  );
});

describe("the lines of a stream", () => {
  prop.prop([
    fc.array(fc.stringMatching(/^[a-z0-9µ]{0,6}$/), { minLength: 1, maxLength: 8 }),
    fc.constantFrom("\n", "\r\n", "\r"),
    fc.array(fc.nat({ max: 12 }), { maxLength: 6 }),
  ])("are the same however the bytes come", async (lines, end, sizes) => {
    const bytes = Buffer.from(`${lines.join(end)}${end}`);
    const chunks: Buffer[] = [];
    let at = 0;
    for (const size of sizes) {
      chunks.push(bytes.subarray(at, at + size));
      at += size;
    }
    const found: (string | null)[] = [];
    for await (const some of inputLines(sent([...chunks, bytes.subarray(at)]))) found.push(...some);
    // A blank last line without anything behind it is no line.
    const wanted = end === "\r" && lines.at(-1) === "" ? lines.slice(0, -1) : lines;
    expect(found).toEqual(wanted);
  });

  it("that are too long are told and forgotten", async () => {
    const found: (string | null)[] = [];
    const long = "x".repeat(3000);
    for await (const some of inputLines(sent(["a\n", long, long, long, "y\r", "\nb\n", long, long])))
      found.push(...some);
    expect(found).toEqual(["a", null, "b", null]);
  });
});
