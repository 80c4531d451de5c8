import { afterAll, describe, expect, it } from "vitest";
import { daemonConfig, portAddress } from "#daemon/config";
import { temporaryFolder } from "#tests/helpers/call";

const folder = temporaryFolder();
afterAll(() => folder.remove());

describe("the call of serve", () => {
  it("has a default for everything", () => {
    expect(daemonConfig([], {})).toEqual({
      dataFolder: `${process.cwd()}/.bakeside`,
      host: "127.0.0.1",
      httpPort: 8460,
      ports: [],
      format: null,
      baudRate: null,
      isVerbose: false,
      settings: { temperatureUnit: "celsius", millimetresPerPixel: 0.1695 },
      bench: null,
    });
  });

  it("takes several ports, in order, and names them", () => {
    const args = [
      "--port",
      "/dev/serial/by-id/usb-1",
      "--port=tcp://box:4001",
      "--name",
      "Window",
      "--baud",
      "19200",
    ];
    expect(daemonConfig(args, {})).toMatchObject({
      ports: [
        { address: "/dev/serial/by-id/usb-1", name: "Window 1" },
        { address: "tcp://box:4001", name: "Window 2" },
      ],
      baudRate: 19_200,
    });
  });

  it("brings a bench with --demo, at ten times the speed", () => {
    expect(daemonConfig(["--demo"], {}).bench).toEqual({ furnaces: 2, speed: 10, seed: 1 });
    const args = ["--demo", "--furnaces", "3", "--speed", "60", "--seed", "7"];
    expect(daemonConfig(args, {}).bench).toEqual({ furnaces: 3, speed: 60, seed: 7 });
  });

  it("is outdone by nothing, and outdoes the environment", () => {
    const environment = { BAKESIDE_DATA: "/var/lib/bakeside", BAKESIDE_HTTP_PORT: "9000" };
    expect(daemonConfig(["--http-port", "0"], environment)).toMatchObject({
      dataFolder: "/var/lib/bakeside",
      httpPort: 0,
    });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { args: ["--host", "0.0.0.0"],            says: "option: host: takes 127.0.0.1, localhost or ::1: this version serves its own screen only" },
    { args: ["--http-port", "65536"],         says: "option: http-port: takes a whole number from 0 to 65535" },
    { args: ["--http-port", "8460.5"],        says: "option: http-port: takes a whole number from 0 to 65535" },
    { args: ["--baud", "fast"],               says: "option: baud: takes a whole number from 50 to 4000000" },
    { args: ["--speed", "601", "--demo"],     says: "option: speed: takes a number from 1 to 600" },
    { args: ["--format", "morse"],            says: "option: format: " },
    { args: ["--furnaces", "0"],              says: "option: furnaces: takes a whole number from 1 to 16" },
    { args: ["--demo", "--port", "/dev/x"],   says: "--demo brings its own furnaces" },
    { args: ["--loud"],                       says: "unknown option --loud" },
    { args: ["kiosk"],                        says: '"kiosk" is one word too many' },
  ])("is refused in one line with $args", ({ args, says }) => {
    expect(() => daemonConfig(args, {})).toThrow(says);
    expect(() => daemonConfig(args, {})).toThrow(/^[^\n]+$/);
  });

  it("refuses an environment that makes no sense", () => {
    expect(() => daemonConfig([], { BAKESIDE_HTTP_PORT: "web" })).toThrow("http-port: takes a whole number");
  });
});

describe("a port's address", () => {
  it("of a recorded file is its path from the root, with the speed of its replay", () => {
    const path = folder.file("bake.csv", "seconds,celsius\n0,500\n");
    expect(portAddress(path)).toBe(`file:${path}`);
    expect(portAddress(path, 60)).toBe(`file:${path}?speed=60`);
    expect(portAddress(`file:${path}?speed=5`, 60)).toBe(`file:${path}?speed=5`);
  });

  it("of anything else stays what it is, and has no speed", () => {
    expect(portAddress("tcp://box:4001", 60)).toBe("tcp://box:4001");
    expect(portAddress("/dev/ttyNone", 60)).toBe("/dev/ttyNone");
    expect(portAddress("ttyNone")).toBe(`${process.cwd()}/ttyNone`);
  });
});
