import { describe, expect, it } from "vitest";
import {
  draftOf,
  isOpen,
  newDraft,
  requestOf,
  stepAfter,
  withPort,
  withReading,
  withType,
} from "#kiosk-ui/screens/upkeep/connect/connect-draft";
import { UNKNOWN_PROBE } from "#shared/probe";
import { furnaceRequestSchema } from "#shared/requests";
import { furnace } from "#tests/helpers/kiosk-messages";

const { furnace: known } = furnace();
const celsius = {
  format: "number:celsius",
  baudRate: 9600,
  framing: "8N1",
  preview: { celsius: 500 },
} as const;
const millivolts = {
  ...celsius,
  format: "number:millivolts",
  preview: { millivolts: 4, coldJunctionCelsius: 20 },
};

describe("a furnace that is not there yet", () => {
  it("is asked for port, format, thermocouple and name, in this order", () => {
    const fresh = newDraft([]);
    const plugged = withPort(fresh, "/dev/ttyS0");
    const heard = withReading(plugged, celsius);
    const asked = [fresh, plugged, heard, withType(heard, null)];
    expect(asked.map(stepAfter)).toEqual(["port", "format", "probe", "name"]);
    expect(asked.map((draft) => isOpen(draft, "name"))).toEqual([false, false, false, true]);
  });

  it("gets the first number that neither an id nor a name has", () => {
    const others = [known, { ...known, id: "furnace-3", name: "Furnace 2" }];
    expect(newDraft(others)).toMatchObject({ furnaceId: "furnace-4", name: "Furnace 4" });
  });

  it("is the one that a first start leaves waiting, as long as nobody said anything of it", () => {
    const waiting = { id: "furnace-1", name: "Furnace 1", port: null, probe: UNKNOWN_PROBE };
    expect(newDraft([waiting])).toMatchObject({ furnaceId: "furnace-1", name: "Furnace 1", isNew: true });
    const others = [
      [{ ...waiting, port: "/dev/ttyS0" }],
      [{ ...waiting, name: "The old one" }],
      [{ ...waiting, probe: { ...UNKNOWN_PROBE, type: "S" as const } }],
      [waiting, { ...known, id: "furnace-3" }],
    ];
    for (const furnaces of others) expect(newDraft(furnaces).furnaceId).toBe("furnace-2");
  });
});

describe("a furnace that is there already", () => {
  it("may be sent as it is", () => {
    const { name, port, baudRate, framing, format } = known;
    const request = requestOf(draftOf(known, {}));
    expect(request).toEqual({
      name,
      port,
      baudRate,
      framing,
      format,
      probe: { type: null, toleranceClass: null },
    });
    expect(furnaceRequestSchema.safeParse(request).success).toBe(true);
  });

  it("is asked for its format again when its port is another", () => {
    const moved = withPort(draftOf(known, {}), "/dev/ttyS0");
    expect(stepAfter(moved)).toBe("format");
    expect(stepAfter(withReading(moved, celsius))).toBe("name");
  });

  it("is asked for its type when it gives millivolts from now on", () => {
    const moved = withReading(withPort(draftOf(known, {}), "/dev/ttyS0"), millivolts);
    expect(stepAfter(moved)).toBe("probe");
    expect(isOpen(moved, "name")).toBe(false);
    expect(stepAfter(withType(moved, "S"))).toBe("name");
  });

  it("may be left without a line", () => {
    const cut = withPort(draftOf(known, {}), null);
    expect(stepAfter(cut)).toBe("name");
    expect(requestOf(cut).port).toBeNull();
  });
});

describe("the class of a thermocouple", () => {
  const draft = { ...withType(newDraft([]), "S"), toleranceClass: "iec-1" as const };

  it("stays with its type", () => {
    expect(withType(draft, "S").toleranceClass).toBe("iec-1");
  });

  it("goes with its type", () => {
    expect(withType(draft, "B").toleranceClass).toBeNull();
  });
});
