// @vitest-environment happy-dom
import type { ReactiveControllerHost } from "lit";
import { describe, expect, it } from "vitest";
import { nextScan, noScan, Scanner } from "#kiosk-ui/components/scanner";

/** What a scanner makes of keys that come so many milliseconds apart. */
function scanned(keys: readonly string[], apartMilliseconds: number): string[] {
  let state = noScan;
  const found: string[] = [];
  for (const [index, key] of keys.entries()) {
    const next = nextScan(state, key, 1000 + index * apartMilliseconds);
    state = next.state;
    if (next.scanned !== null) found.push(next.scanned);
  }
  return found;
}

describe("a wedge scanner", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { keys: "JOB-0004417", apart: 3,  found: ["JOB-0004417"], as: "a ticket" },
    { keys: "JOB-0004417", apart: 29, found: ["JOB-0004417"], as: "a ticket read slowly" },
    { keys: "JOB-0004417", apart: 31, found: [],              as: "a person" },
    { keys: "004417004",   apart: 3,  found: [],              as: "too short" },
  ])("takes $keys, $apart ms apart, as $as", ({ keys, apart, found }) => {
    expect(scanned([...keys, "Enter"], apart)).toEqual(found);
  });

  it("takes nothing without Enter", () => {
    expect(scanned([..."JOB-0004417"], 3)).toEqual([]);
  });

  it("keeps capitals, for which a scanner sends Shift", () => {
    expect(scanned(["Shift", "J", "Shift", "O", "B", ..."-0004417", "Enter"], 3)).toEqual(["JOB-0004417"]);
  });

  it("is silent while a text field has the focus", () => {
    document.body.innerHTML = "<input><button></button>";
    const found: string[] = [];
    const host = { addController: () => undefined } as unknown as ReactiveControllerHost;
    const scanner = new Scanner(host, (scan) => found.push(scan));
    scanner.hostConnected();
    const type = (target: Element | null) => {
      for (const [index, key] of [..."JOB-0004417", "Enter"].entries()) {
        const event = new KeyboardEvent("keydown", { key, bubbles: true, composed: true });
        Object.defineProperty(event, "timeStamp", { value: 1000 + index });
        target?.dispatchEvent(event);
      }
    };
    type(document.querySelector("input"));
    type(document.querySelector("button"));
    scanner.hostDisconnected();
    expect(found).toEqual(["JOB-0004417"]);
  });
});
