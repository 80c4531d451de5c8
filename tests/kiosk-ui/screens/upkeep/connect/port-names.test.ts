import { describe, expect, it } from "vitest";
import { isSerialPort, portName, portNames, typedPort } from "#kiosk-ui/screens/upkeep/connect/port-names";

describe("a port's name", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { port: "/dev/serial/by-id/usb-Demo_Panel_Meter_D4419-if00-port0", name: "Demo Panel Meter D4419" },
    { port: "/dev/serial/by-id/usb-Demo_Board-if02",                   name: "Demo Board" },
    { port: "/dev/serial/by-path/pci-0000:00:14.0-usb-0:1.2:1.0-port0", name: "USB socket 1.2" },
    { port: "/dev/ttyS0",                                              name: "ttyS0" },
    { port: "tcp://192.168.0.40:4001",                                 name: "192.168.0.40:4001" },
    { port: "file:/home/lab/one.csv",                                  name: "/home/lab/one.csv" },
  ])("of $port is $name", ({ port, name }) => {
    expect(portName(port)).toBe(name);
  });

  it("keeps what tells two interfaces of one adapter apart", () => {
    const ports = ["/dev/serial/by-id/usb-Demo_Two-if00-port0", "/dev/serial/by-id/usb-Demo_Two-if01-port0"];
    expect([...portNames([...ports, "/dev/ttyS0"]).values()]).toEqual([
      "usb-Demo_Two-if00-port0",
      "usb-Demo_Two-if01-port0",
      "ttyS0",
    ]);
  });
});

describe("a port that somebody typed", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { typed: "192.168.0.40:4001",     port: "tcp://192.168.0.40:4001" },
    { typed: " tcp://gateway.lab:502 ", port: "tcp://gateway.lab:502" },
    { typed: "[fe80::1]:4001",        port: "tcp://[fe80::1]:4001" },
    { typed: "/dev/ttyUSB7",          port: "/dev/ttyUSB7" },
    { typed: "file:/tmp/one.csv",     port: "file:/tmp/one.csv" },
    { typed: "gateway.lab",           port: null },
    { typed: "gateway.lab:0",         port: null },
    { typed: "gateway.lab:70000",     port: null },
    { typed: "http://gateway:80",     port: null },
    { typed: "",                      port: null },
  ])("as $typed is $port", ({ typed, port }) => {
    expect(typedPort(typed)).toBe(port);
  });

  it("has a baud rate when it is a device", () => {
    expect(["/dev/ttyS0", "tcp://a:1", "file:/a"].map(isSerialPort)).toEqual([true, false, false]);
  });
});
