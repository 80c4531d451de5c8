import { describe, expect, it, vi } from "vitest";
import { initialKioskState, type KioskMessage, nextKioskState } from "#kiosk-ui/kiosk-state";
import { Sound, toneBetween } from "#kiosk-ui/sound";
import { bake, openBake, snapshot } from "#tests/helpers/kiosk-messages";
import { madeUpComparison, madeUpFault, madeUpTrace } from "#tests/helpers/made-up-bakes";

const finding = { code: "climb-slow", index: 1, heatWorkEffectFraction: 0.1, needsPerson: true } as const;

/** A bake as it is announced in a stage, with so many findings. */
function announced(kind: "drying" | "climb", findings: (typeof finding)[] = []): KioskMessage {
  const open = openBake();
  if (!open.plan) throw new Error("no plan");
  const trace = madeUpTrace(open.plan.plan, { seed: 7, slowness: 0, overshootKelvin: 0 }).slice(0, 40);
  const comparison = {
    ...madeUpComparison(open.plan.plan, trace, false),
    stage: { kind, index: 1 },
    findings,
  };
  return { kind: "bake", bake: { ...open, comparison }, atSeconds: 2 };
}

const drying = [
  { kind: "snapshot", snapshot: snapshot(), atSeconds: 1 } as const,
  announced("drying"),
].reduce(nextKioskState, initialKioskState);
const toneAfter = (message: KioskMessage, quiet: number[] = []) =>
  toneBetween(drying, nextKioskState(drying, message), new Set(quiet));

describe("the sound of a bake", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { when: "a stage begins",          message: announced("climb"),                  tone: "stage" },
    { when: "somebody should look",    message: announced("drying", [finding]),      tone: "person" },
    { when: "both at once",            message: announced("climb", [finding]),       tone: "person" },
    { when: "nothing is new",          message: announced("drying"),                 tone: null },
    { when: "it ends",                 message: { kind: "finished", bake: bake({ state: "finished" }), atSeconds: 3 } as const, tone: "stage" },
    { when: "it falls silent",         message: { kind: "tick", atSeconds: 12 } as const, tone: "person" },
  ])("is $tone when $when", ({ message, tone }) => {
    expect(toneAfter(message)).toBe(tone);
  });

  it("calls a person once for a fault of the thermocouple that lasts", () => {
    const fault = madeUpFault("open-circuit", { isActive: true, needsPerson: true });
    const open = { ...openBake(), sensorFaults: [fault] };
    const faulty: KioskMessage = { kind: "bake", bake: open, atSeconds: 2 };
    const after = nextKioskState(drying, faulty);
    expect(toneBetween(drying, after, new Set())).toBe("person");
    expect(toneBetween(after, nextKioskState(after, faulty), new Set())).toBeNull();
  });

  it("is none for a bake that was made quiet", () => {
    expect(toneAfter(announced("climb", [finding]), [7])).toBeNull();
  });

  it("makes no sound before the first touch", () => {
    const makeContext = vi.fn(() => {
      throw new Error("no sound device");
    });
    const sound = new Sound(makeContext);
    sound.play("stage");
    expect(makeContext).not.toHaveBeenCalled();
    sound.unlock();
    expect(() => sound.play("stage")).not.toThrow();
  });
});
