import { io } from "socket.io-client";
import { vi } from "vitest";
import { z } from "zod";
import { type BakeDetail, bakeDetailSchema, bakeSummarySchema } from "#shared/bake";
import { sampleSchema } from "#shared/sample";
import { type KioskSnapshot, kioskSnapshotSchema } from "#shared/status";

const listSchema = z.object({ bakes: z.array(bakeSummarySchema), total: z.number() });
const samplesSchema = z.object({ samples: z.array(sampleSchema) });

/** Asks a running daemon over HTTP, as a page does. */
export class HouseCall {
  readonly #address: string;

  constructor(address: string) {
    this.#address = address;
  }

  async bakes() {
    return listSchema.parse(await this.#get("api/bakes?limit=200")).bakes;
  }

  async bake(id: number): Promise<BakeDetail> {
    return bakeDetailSchema.parse(await this.#get(`api/bakes/${id}`));
  }

  async samples(id: number) {
    return samplesSchema.parse(await this.#get(`api/bakes/${id}/samples`)).samples;
  }

  async begin(furnaceId: string, request: { planId: number; jobNumber: string | null }): Promise<BakeDetail> {
    return bakeDetailSchema.parse(await (await this.post(`api/furnaces/${furnaceId}/begin`, request)).json());
  }

  async close(id: number): Promise<BakeDetail> {
    return bakeDetailSchema.parse(await (await this.post(`api/bakes/${id}/close`, {})).json());
  }

  post(path: string, body: unknown): Promise<Response> {
    return fetch(`${this.#address}${path}`, {
      method: "POST",
      headers: { "content-type": "application/json", origin: new URL(this.#address).origin },
      body: JSON.stringify(body),
    });
  }

  /** Everything that a page is told when it comes. */
  async snapshot(): Promise<KioskSnapshot> {
    const socket = io(this.#address, { transports: ["websocket"], reconnection: false });
    try {
      return await new Promise((resolve, reject) => {
        socket.once("snapshot", (message: unknown) => resolve(kioskSnapshotSchema.parse(message)));
        socket.once("connect_error", reject);
      });
    } finally {
      socket.close();
    }
  }

  /** Waits until the line of a furnace is in a state. */
  async lineIs(furnaceId: string, kind: string): Promise<void> {
    await until(async () => {
      const health = z
        .object({ furnaces: z.array(z.object({ id: z.string(), link: z.string() })) })
        .parse(await this.#get("api/health"));
      const link = health.furnaces.find(({ id }) => id === furnaceId)?.link;
      if (link !== kind) throw new Error(`the line of ${furnaceId} is ${link}, not ${kind}`);
    });
  }

  async #get(path: string): Promise<unknown> {
    const response = await fetch(`${this.#address}${path}`);
    if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
    return response.json();
  }
}

/** Asks again and again until the answer is without complaint. */
export function until<T>(ask: () => T | Promise<T>, seconds = 60): Promise<T> {
  return vi.waitFor(ask, { timeout: seconds * 1000, interval: 25 });
}
