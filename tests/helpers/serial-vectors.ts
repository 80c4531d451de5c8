import { readFileSync } from "node:fs";

/** A Modbus RTU frame that somebody published, or that was made up for a thermometer, with what it means. */
export interface FrameVector {
  readonly frame: string;
  readonly meaning: string;
  readonly unit?: number;
  readonly function?: number;
  readonly address?: number;
  readonly quantity?: number;
  readonly registers?: readonly number[];
  readonly float_order?: string;
  readonly float32_exact?: number;
  readonly floats_printed?: readonly number[];
}

/** The part of the file that tests use; its sources stand in it. */
interface SerialVectors {
  readonly modbus_rtu: {
    readonly crc: { readonly check_input_ascii: string; readonly check: string };
    readonly published: readonly FrameVector[];
    readonly constructed: readonly FrameVector[];
    readonly invalid: readonly { readonly frame: string; readonly why: string }[];
    readonly float_orders: {
      readonly value: number;
      readonly registers: Readonly<Record<string, readonly string[]>>;
    };
  };
  readonly scpi: {
    readonly numeric_formats: readonly { readonly text: string; readonly value: number | string }[];
    readonly temperature: { readonly reply_with_unit_example: string };
    readonly errors: readonly (readonly [number, string])[];
  };
}

/** Published vectors of open serial protocols. */
export const serialVectors: SerialVectors = JSON.parse(
  readFileSync(new URL("../reference/serial-protocol-vectors.json", import.meta.url), "utf8"),
);

/** The bytes of a frame in hexadecimal. */
export function hexBytes(hex: string): Buffer {
  return Buffer.from(hex.replaceAll(" ", ""), "hex");
}
