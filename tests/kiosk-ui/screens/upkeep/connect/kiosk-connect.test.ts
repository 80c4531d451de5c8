// @vitest-environment happy-dom
import { afterEach, describe, expect, it, vi } from "vitest";
import type { FurnaceRequest } from "#kiosk-ui/kiosk-client";
import { initialKioskState, type KioskState, nextKioskState } from "#kiosk-ui/kiosk-state";
import { type ConnectDesk, KioskConnect } from "#kiosk-ui/screens/upkeep/connect/kiosk-connect";
import type { Furnace, FurnaceStatus } from "#shared/furnace";
import type { ListenAnswer, ListenRequest } from "#shared/listening";
import type { SensorFault } from "#shared/sensor-fault";
import { furnace, snapshot } from "#tests/helpers/kiosk-messages";
import { MADE_UP_PORTS, madeUpListenAnswer } from "#tests/helpers/listen-answers";

/** A daemon that hears made-up ports, and keeps what it is asked. */
class MemoryDesk implements ConnectDesk {
  readonly listened: ListenRequest[] = [];
  readonly given: { id: string; request: FurnaceRequest }[] = [];
  readonly givenUp: string[] = [];
  refusal = "";
  isSlow = false;

  async ports() {
    return Object.values(MADE_UP_PORTS).map((stableName) => ({
      stableName,
      device: "/dev/ttyUSB0",
      note: "USB serial adapter; no permission: add this user to the dialout group",
    }));
  }

  async listen(request: ListenRequest, signal?: AbortSignal): Promise<ListenAnswer> {
    this.listened.push(request);
    signal?.addEventListener("abort", () => this.givenUp.push(request.port));
    if (this.isSlow) await new Promise(() => undefined);
    const answer = madeUpListenAnswer(request);
    if ("error" in answer) throw new Error(answer.error);
    return answer;
  }

  async changeFurnace(id: string, request: FurnaceRequest): Promise<FurnaceStatus> {
    if (this.refusal) throw new Error(this.refusal);
    this.given.push({ id, request });
    return furnace();
  }
}

let flow: KioskConnect;
let desk: MemoryDesk;
afterEach(() => flow.remove());

async function opened(known: Furnace | null = null) {
  desk = new MemoryDesk();
  flow = new KioskConnect();
  flow.client = desk;
  flow.state = told(initialKioskState, [furnace()], 1);
  document.body.append(flow);
  await flow.open(known);
  await settled();
}

function told(state: KioskState, furnaces: FurnaceStatus[], atSeconds: number) {
  return nextKioskState(state, { kind: "snapshot", snapshot: snapshot({ furnaces }), atSeconds });
}

/** Everything that matches, through shadow roots. */
function all<Part extends HTMLElement>(selector: string, root: ParentNode = flow.renderRoot): Part[] {
  const inside = [...root.querySelectorAll("*")].flatMap((element) =>
    element.shadowRoot ? all<Part>(selector, element.shadowRoot) : [],
  );
  return [...root.querySelectorAll<Part>(selector), ...inside];
}

const plain = (text: string | null | undefined) => (text ?? "").replace(/\s+/g, " ").trim();
const question = () => plain(all("h2")[0]?.textContent);
const text = () =>
  plain(
    all("h1, h2, p, button, code, li > span")
      .map((part) => part.textContent)
      .join(" "),
  );

function button(name: RegExp): HTMLButtonElement {
  const found = all<HTMLButtonElement>("button").find((each) => name.test(plain(each.textContent)));
  if (!found) throw new Error(`No button ${name} in: ${text()}`);
  return found;
}

/** Lets promises and elements come to rest. */
async function settled() {
  for (let turn = 0; turn < 4; turn++) {
    await new Promise((resolve) => setTimeout(resolve, 0));
    await flow.updateComplete;
  }
}

async function tap(...names: readonly RegExp[]) {
  for (const name of names) {
    button(name).click();
    await settled();
  }
}

function type(selector: string, value: string) {
  const [input] = all<HTMLInputElement>(selector);
  if (!input) throw new Error(`No ${selector}`);
  input.value = value;
  input.dispatchEvent(new Event("input"));
}

describe("connecting a furnace", () => {
  it("takes four taps: port, format, thermocouple, connect", async () => {
    await opened();
    await tap(/^Demo Temperature/, /^512\.4 °C, cold junction 24\.1 °C, 1013 hPa/, /^S /, /^Connect$/);
    expect(desk.listened).toEqual([{ port: MADE_UP_PORTS.celsius, asks: false }]);
    expect(desk.given).toEqual([
      {
        id: "furnace-2",
        request: {
          name: "Furnace 2",
          port: MADE_UP_PORTS.celsius,
          baudRate: 9600,
          framing: "8N1",
          format: "columns/comma:celsius,cold-celsius,hectopascals",
          probe: { type: "S", toleranceClass: null },
        },
      },
    ]);
  });

  it("shows the reading that comes afterwards, and none from before", async () => {
    await opened();
    await tap(/^Demo Temperature/, /^512\.4 °C, cold/, /^Not known/, /^Connect$/);
    expect(question()).toBe("Waiting for the first reading of Furnace 2.");
    const { furnace: before, ...status } = furnace();
    const added = { ...status, furnace: { ...before, id: "furnace-2", name: "Furnace 2" } };
    const silent = { ...added, latest: null, link: { ...status.link, message: "Nothing heard for 5 s." } };
    flow.state = told(flow.state, [furnace(), silent], 2);
    await settled();
    expect(text()).toContain("Nothing heard for 5 s.");
    expect(all("kiosk-readout")).toEqual([]);
    flow.state = nextKioskState(flow.state, { kind: "furnace", status: added, atSeconds: 3 });
    await settled();
    expect(question()).toBe("Furnace 2 is heard.");
    expect(plain(all("kiosk-readout")[0]?.shadowRoot?.textContent)).toContain("502");
    await tap(/^Done$/);
    expect(all("dialog")[0]?.hasAttribute("open")).toBe(false);
  });

  it("says what is wrong with a probe, and what to look at first", async () => {
    await opened();
    await tap(/^Demo Temperature/, /^512\.4 °C, cold/, /^S /, /^Connect$/);
    const status = furnace();
    const open: SensorFault = {
      kind: "open-circuit",
      isActive: true,
      episodes: 1,
      readings: 8,
      seconds: 4,
      firstAtSeconds: 0,
      lastAtSeconds: 4,
      celsius: null,
      likelyType: null,
      needsPerson: true,
    };
    flow.state = told(
      flow.state,
      [
        {
          ...status,
          furnace: { ...status.furnace, id: "furnace-2" },
          latest: null,
          sensorFaults: [open, { ...open, kind: "spikes", needsPerson: false }],
        },
      ],
      2,
    );
    await settled();
    expect(text()).toMatch(/The thermocouple is open, for 4 s so far\. Look first at the terminals/);
    expect(text()).not.toContain("jumped");
  });

  it("shows for millivolts what each type would make of them, and wants one of them", async () => {
    await opened();
    await tap(/^Demo Millivolt/, /^4\.1234 mV, cold junction 24\.1 °C/);
    expect(button(/^S /).textContent).toContain("503");
    expect(button(/^K /).textContent).toContain("124");
    expect(button(/^Not known/).disabled).toBe(true);
    await tap(/^S /, /^IEC class 2$/, /^Connect$/);
    expect(desk.given[0]?.request).toMatchObject({
      format: "pairs:E=millivolts,CJ=cold-celsius",
      probe: { type: "S", toleranceClass: "iec-2" },
    });
  });

  it("offers only classes that exist for the type", async () => {
    await opened();
    await tap(/^Demo Millivolt/, /^4\.1234/, /^B /);
    expect(text()).not.toContain("IEC class 1");
    expect(text()).toContain("IEC class 3");
  });

  it("says what stands in the way of a port, and whose it is", async () => {
    await opened();
    flow.state = told(
      flow.state,
      [{ ...furnace(), furnace: { ...furnace().furnace, port: MADE_UP_PORTS.quiet } }],
      2,
    );
    await settled();
    expect(plain(button(/^ttyS0/).textContent)).toMatch(/no permission: .*heard here: Furnace 1/);
  });

  it("says why ports could not be looked for, and looks again", async () => {
    await opened();
    vi.spyOn(desk, "ports").mockRejectedValueOnce(new Error("The recording program does not answer."));
    await tap(/^Look again$/);
    expect(text()).toContain("The recording program does not answer.");
    expect(text()).not.toContain("Demo Panel Meter");
    await tap(/^Look again$/);
    expect(text()).toContain("Demo Panel Meter");
  });

  it("takes an address over the network, and refuses what is none", async () => {
    await opened();
    const submit = () => all("form")[0]?.dispatchEvent(new Event("submit", { cancelable: true }));
    type("#network", "hello");
    submit();
    await settled();
    expect(text()).toContain("An address reads host:port");
    expect(desk.listened).toEqual([]);
    type("#network", "192.168.0.40:4001");
    submit();
    await settled();
    expect(desk.listened).toEqual([{ port: "tcp://192.168.0.40:4001", asks: false }]);
  });

  it("asks an instrument that says nothing by itself only when told to", async () => {
    await opened();
    await tap(/^Demo Panel Meter/);
    expect(question()).toBe("Nothing that reads was heard.");
    expect(text()).toContain("Nothing was heard at 8 baud rates.");
    await tap(/^Ask the instrument/, /^498\.1 °C/, /^K /, /^Connect$/);
    expect(desk.listened.map(({ asks }) => asks)).toEqual([false, true]);
    expect(desk.given[0]?.request).toMatchObject({ baudRate: 19_200, framing: "8E1" });
  });

  it("takes a format that somebody types", async () => {
    await opened();
    await tap(/^ttyS0/, /^Other format/);
    type("#format", "number:kelvin");
    all("form")[0]?.dispatchEvent(new Event("submit", { cancelable: true }));
    await settled();
    await tap(/^Not known/, /^Connect$/);
    expect(desk.given[0]?.request).toMatchObject({ format: "number:kelvin", port: MADE_UP_PORTS.quiet });
  });

  it("gives up listening when it is stopped", async () => {
    await opened();
    desk.isSlow = true;
    await tap(/^Demo Temperature/);
    expect(question()).toBe("Listening to Demo Temperature Adapter D4417");
    await tap(/^Stop$/);
    expect(desk.givenUp).toEqual([MADE_UP_PORTS.celsius]);
    expect(question()).toBe("Stopped listening.");
  });

  it("gives up listening when it is cancelled", async () => {
    await opened();
    desk.isSlow = true;
    await tap(/^Demo Temperature/, /^Cancel$/);
    expect(desk.givenUp).toEqual([MADE_UP_PORTS.celsius]);
  });

  it("says why a port was not listened to", async () => {
    await opened();
    const refusal = "The port is listened to already. Wait until that is over.";
    vi.spyOn(desk, "listen").mockRejectedValueOnce(new Error(refusal));
    await tap(/^ttyS0/);
    expect(question()).toBe("The port could not be listened to.");
    expect(text()).toContain(refusal);
  });

  it("says why it was not done, and stays with the answers", async () => {
    await opened();
    desk.refusal = "There are 32 furnaces already: change one of them.";
    await tap(/^Demo Temperature/, /^512\.4 °C, cold/, /^S /, /^Connect$/);
    expect(text()).toContain(desk.refusal);
    desk.refusal = "";
    await tap(/^Connect$/);
    expect(desk.given[0]?.request.name).toBe("Furnace 2");
  });

  it("takes another name", async () => {
    await opened();
    await tap(/^Demo Temperature/, /^512\.4 °C, cold/, /^S /);
    type("#name", " By the window ");
    await settled();
    await tap(/^Connect$/);
    expect(desk.given[0]?.request.name).toBe("By the window");
  });

  it("wants a name", async () => {
    await opened();
    await tap(/^Demo Temperature/, /^512\.4 °C, cold/, /^S /);
    type("#name", " ");
    await settled();
    await tap(/^Connect$/);
    expect(text()).toContain("A furnace needs a name");
    expect(desk.given).toEqual([]);
  });

  it("goes back to an answer when it is touched", async () => {
    await opened();
    await tap(/^Demo Temperature/, /^512\.4 °C, cold/, /^S /, /^Thermocouple S$/, /^K /, /^Connect$/);
    expect(desk.given[0]?.request.probe).toEqual({ type: "K", toleranceClass: null });
  });
});

describe("changing the line of a furnace", () => {
  it("renames it and leaves the rest", async () => {
    const known = furnace().furnace;
    await opened(known);
    await tap(/^Name Furnace 1$/);
    type("#name", "By the window");
    await settled();
    await tap(/^Save$/);
    const { port, baudRate, framing, format } = known;
    expect(desk.listened).toEqual([]);
    expect(desk.given).toEqual([
      {
        id: "furnace-1",
        request: {
          name: "By the window",
          port,
          baudRate,
          framing,
          format,
          probe: { type: null, toleranceClass: null },
        },
      },
    ]);
  });

  it("may take its line away", async () => {
    await opened(furnace().furnace);
    await tap(/^No line/, /^Save$/);
    expect(desk.given[0]?.request.port).toBeNull();
  });
});
