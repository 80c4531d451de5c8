import { readFileSync } from "node:fs";
import { fc, it as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { SEPARATORS } from "#daemon/link/formats/columns-format";
import { FIELD_WORDS, type FieldWord, fieldChannel } from "#daemon/link/formats/fields";
import {
  type Format,
  formatSpec,
  isPolled,
  type KnownFormat,
  parseFormat,
  readLine,
} from "#daemon/link/formats/formats";
import { sensorWordSchema } from "#shared/sensor-fault";

const page = readFileSync(new URL("../../../../daemon/link/formats/formats.md", import.meta.url), "utf8");

/** The format of a text that is one. */
function format(spec: string): KnownFormat {
  const parsed = parseFormat(spec);
  if (!parsed.ok || parsed.format.kind === "auto" || isPolled(parsed.format))
    throw new RangeError(`${spec} is no format to read with`);
  return parsed.format;
}

const keys = fc.stringMatching(/^[A-Za-z_][A-Za-z0-9_.]{0,9}$/);

/** Field words that give no channel twice and at least one value. */
const fieldWords: fc.Arbitrary<FieldWord[]> = fc
  .uniqueArray(fc.constantFrom(...FIELD_WORDS), {
    minLength: 1,
    maxLength: 8,
    selector: (word) => fieldChannel(word) ?? word,
  })
  .filter((words) => words.some((word) => word !== "skip" && fieldChannel(word) !== "instrumentSeconds"));

const keyedFields = fc
  .tuple(fieldWords, fc.uniqueArray(keys, { minLength: 8, maxLength: 8 }))
  .map(([words, names]) => new Map(words.map((word, index) => [names[index] ?? "", word])));

const formats: fc.Arbitrary<Format> = fc.oneof(
  fc.constant<Format>({ kind: "auto" }),
  fc
    .constantFrom<FieldWord>("celsius", "kelvin", "torr", "duty-percent")
    .map((field): Format => ({ kind: "number", field })),
  fc.record({
    kind: fc.constant("columns" as const),
    fields: fieldWords,
    separator: fc.constantFrom("any" as const, ...SEPARATORS),
  }),
  fc.record({ kind: fc.constantFrom("pairs" as const, "json" as const), fields: keyedFields }),
);

describe("formats", () => {
  property.prop([formats])("come back from their short text", (written) => {
    expect(parseFormat(formatSpec(written))).toEqual({ ok: true, format: written });
  });

  it("may have spaces around their parts", () => {
    expect(parseFormat(" pairs:s = seconds, T = celsius ")).toEqual(parseFormat("pairs:s=seconds,T=celsius"));
  });

  it.each([
    {
      spec: "",
      error:
        'Cannot use this format: "" is not one of number, columns, pairs, json, modbus, modbus-tcp, scpi or auto, followed by a colon and its fields',
    },
    {
      spec: "words:celsius",
      error:
        'Cannot use this format: "words" is not one of number, columns, pairs, json, modbus, modbus-tcp, scpi or auto',
    },
    { spec: "number:celsius,seconds", error: "Cannot use this format: number takes one field" },
    { spec: "number:skip", error: "Cannot use this format: no field is a measured value" },
    { spec: "columns:seconds", error: "Cannot use this format: no field is a measured value" },
    {
      spec: "columns:celsius,kelvin",
      error: "Cannot use this format: two fields give the chamber temperature",
    },
    {
      spec: "columns/bar:celsius",
      error:
        'Cannot use this format: "bar" is no separator; use semicolon, tab, comma, space, or none for any of them',
    },
    { spec: "json/comma:T=celsius", error: "Cannot use this format: only columns take a separator" },
    { spec: "pairs:T=celsius,T=hectopascals", error: "Cannot use this format: the key T is given twice" },
    { spec: "pairs:celsius", error: 'Cannot use this format: "celsius" is not key=field' },
    { spec: `columns:${"skip,".repeat(40)}celsius`, error: "Cannot use this format: 41 fields; 32 at most" },
    { spec: "x".repeat(501), error: "Cannot use this format: longer than 500 characters" },
  ])("refuse $spec", ({ spec, error }) => {
    expect(parseFormat(spec)).toEqual({ ok: false, error });
  });

  it("name the field words when one is not known", () => {
    expect(parseFormat("columns:seconds,centigrade")).toMatchObject({
      ok: false,
      error: expect.stringMatching(/"centigrade" is no field; use one of seconds, minutes, .*skip$/),
    });
  });

  const rows = [...page.matchAll(/^\| `((?:number|columns|pairs|json)[^`]*)`\s*\| `([^`]*)`\s*\|$/gm)];
  it("have examples on their page", () => {
    expect(rows.length).toBe(8);
  });
  it.each(rows.map(([, spec = "", line = ""]) => ({ spec, line })))(
    "read the page's $line as $spec",
    ({ spec, line }) => {
      const hasEmf = /volts/.test(spec);
      expect(readLine(format(spec), line)).toMatchObject({
        ok: true,
        channels: hasEmf
          ? { millivolts: expect.closeTo(4.1234, 9), coldJunctionCelsius: 24.1 }
          : { celsius: 512.4 },
      });
    },
  );

  it("have every field word on their page", () => {
    expect(FIELD_WORDS.filter((word) => !page.includes(`\`${word}\``))).toEqual([]);
  });

  property.prop([
    formats.filter((any): any is KnownFormat => any.kind !== "auto"),
    fc.oneof(fc.string(), fc.string({ unit: "binary" }), fc.json()),
  ])("never throw, and never read a number that is not finite", (known, line) => {
    const result = readLine(known, line);
    if (result.ok) {
      const { sensorWord, ...numbers } = result.channels;
      if (sensorWord !== undefined) expect(sensorWordSchema.options).toContain(sensorWord);
      for (const value of Object.values(numbers)) expect(Number.isFinite(value)).toBe(true);
    } else expect(result.why).not.toBe("");
  });

  property.prop([
    fc.double({ min: -50, max: 1400, noNaN: true }),
    fc.double({ min: 0, max: 1e6, noNaN: true }),
  ])("read back what an instrument prints, the same in every shape", (celsius, seconds) => {
    const [t, s] = [celsius.toFixed(1), seconds.toFixed(2)];
    const channels = { instrumentSeconds: Number(s), celsius: Number(t) + 0 }; // −0 reads as 0
    expect(readLine(format("pairs:s=seconds,T=celsius"), `s=${s} T=${t}`)).toEqual({ ok: true, channels });
    expect(readLine(format("columns:seconds,celsius"), `${s};${t}`)).toEqual({ ok: true, channels });
    expect(readLine(format("json:s=seconds,T=celsius"), `{"s":${s},"T":${t}}`)).toEqual({
      ok: true,
      channels,
    });
    expect(readLine(format("number:celsius"), t)).toEqual({ ok: true, channels: { celsius: Number(t) + 0 } });
  });
});
