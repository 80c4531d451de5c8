// @vitest-environment happy-dom
import { afterEach, describe, expect, it, vi } from "vitest";
import { act, type KioskAction } from "#kiosk-ui/components/kiosk-action";
import { LeaveGuard } from "#kiosk-ui/screens/plans/leave-guard";

/** An element with a way back and another button, guarded; what is asked is answered by `answer`. */
function guarded({ hasChanges = true, answer = true } = {}) {
  const host = Object.assign(document.createElement("div"), {
    addController: vi.fn(),
    removeController: vi.fn(),
    requestUpdate: vi.fn(),
    updateComplete: Promise.resolve(true),
  });
  host.innerHTML = `<div class="ways"><button id="back"></button></div><button id="other"></button>`;
  const ask = vi.fn(() => Promise.resolve(answer));
  const guard = new LeaveGuard(host, () => hasChanges, ask);
  guard.hostConnected();
  document.body.append(host);
  const done: string[] = [];
  const button = (id: string) => host.querySelector<HTMLButtonElement>(`#${id}`);
  for (const id of ["back", "other"]) button(id)?.addEventListener("click", () => done.push(id));
  const actions: KioskAction[] = [];
  document.body.addEventListener("kiosk-action", (event) => actions.push(event.detail), { once: true });
  const tap = async (id: string) => {
    button(id)?.click();
    await Promise.resolve();
    await Promise.resolve();
  };
  return { host, guard, ask, done, actions, tap };
}

afterEach(() => document.body.replaceChildren());

describe("a guard of unsaved changes", () => {
  it("asks before a way back is taken, and takes it after a yes", async () => {
    const { tap, ask, done } = guarded();
    await tap("back");
    expect(ask).toHaveBeenCalledOnce();
    expect(done).toEqual(["back"]);
  });

  it("takes no way back after a no", async () => {
    const { tap, done } = guarded({ answer: false });
    await tap("back");
    expect(done).toEqual([]);
  });

  it("lets everything else be pressed", async () => {
    const { tap, ask, done } = guarded();
    await tap("other");
    expect(ask).not.toHaveBeenCalled();
    expect(done).toEqual(["other"]);
  });

  it("asks nothing where nothing is unsaved", async () => {
    const { tap, ask, done, host, actions } = guarded({ hasChanges: false });
    await tap("back");
    act(host, { kind: "open-places" });
    expect(ask).not.toHaveBeenCalled();
    expect(done).toEqual(["back"]);
    expect(actions).toEqual([{ kind: "open-places" }]);
  });

  it("holds the way to the other places until it is answered", async () => {
    const { host, ask, actions } = guarded();
    act(host, { kind: "open-places" });
    expect(actions).toEqual([]);
    await vi.waitFor(() => expect(actions).toEqual([{ kind: "open-places" }]));
    expect(ask).toHaveBeenCalledOnce();
  });

  it("lets go when its element leaves the page", async () => {
    const { guard, tap, ask } = guarded();
    guard.hostDisconnected();
    await tap("back");
    expect(ask).not.toHaveBeenCalled();
  });
});
