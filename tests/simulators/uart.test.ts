import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { heardBytes } from "#simulators/uart";

const LINE = Buffer.from("s=123.0 T=512.4 P=1013.2 D=0.42\r\n");

const messages = fc.uint8Array({ minLength: 1, maxLength: 200 }).map((bytes) => Buffer.from(bytes));

describe("a receiver", () => {
  it.prop([messages])("hears every byte at the rate of the sender", (bytes) => {
    expect(heardBytes(bytes, 19_200, 19_200)).toEqual(bytes);
  });

  it.prop([messages])("hears every byte when its clock is 3 % off, as serial lines bear", (bytes) => {
    for (const baud of [9600 * 0.97, 9600 * 1.03]) expect(heardBytes(bytes, 9600, baud)).toEqual(bytes);
  });

  it.each([1200, 2400, 4800, 9600, 38_400, 57_600, 115_200])(
    "hears no line of text at %d instead of 19200",
    (baud) => {
      const heard = heardBytes(LINE, 19_200, baud);
      expect(heard.toString("latin1")).not.toMatch(/[sTPD]=\d/);
    },
  );

  it("hears fewer bytes when it is slower, and more when it is faster", () => {
    expect(heardBytes(LINE, 19_200, 4800).length).toBeLessThan(LINE.length / 2);
    expect(heardBytes(LINE, 19_200, 57_600).length).toBeGreaterThan(LINE.length);
  });
});
