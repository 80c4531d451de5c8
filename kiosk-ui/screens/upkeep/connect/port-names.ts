/** The name that a person can tell apart, by the whole name of a port. */
export type PortNames = ReadonlyMap<string, string>;

/**
 * What a person calls a port: an adapter's own words without what the system writes around them.
 * @example portName("/dev/serial/by-id/usb-Demo_Panel_Meter_D4419-if00-port0") // "Demo Panel Meter D4419"
 */
export function portName(port: string): string {
  const [, byId] = /\/serial\/by-id\/(?:usb-)?(.+?)(?:-if\d+)?(?:-port\d+)?$/.exec(port) ?? [];
  if (byId) return byId.replaceAll("_", " ").trim();
  const [, socket] = /\/serial\/by-path\/.*usb-\d+:([\d.]+):/.exec(port) ?? [];
  if (socket) return `USB socket ${socket}`;
  return port.replace(/^(?:\/dev\/|tcp:\/\/|file:)/, "");
}

/** The names of several ports; two that would be called alike keep their whole last part. */
export function portNames(ports: readonly string[]): PortNames {
  const names = ports.map(portName);
  return new Map(
    ports.map((port, index) => {
      const name = names[index] ?? port;
      const isAlone = names.indexOf(name) === names.lastIndexOf(name);
      return [port, isAlone ? name : port.slice(port.lastIndexOf("/") + 1)];
    }),
  );
}

/** Whether it is a line with a baud rate. */
export function isSerialPort(port: string): boolean {
  return port.startsWith("/");
}

/**
 * The port that somebody typed: an address over the network, or a device.
 * @returns null when it is neither
 * @example typedPort("192.168.0.40:4001") // "tcp://192.168.0.40:4001"
 */
export function typedPort(text: string): string | null {
  const typed = text.trim();
  if (/^(?:\/|file:\/)\S/.test(typed)) return typed;
  const address = typed.replace(/^tcp:\/\//i, "");
  const [, port = ""] = /^(?:[\w.-]+|\[[\da-f:]+\]):(\d{1,5})$/i.exec(address) ?? [];
  return Number(port) >= 1 && Number(port) <= 65_535 ? `tcp://${address}` : null;
}
