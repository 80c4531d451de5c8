import type { ListenAnswer, ListenRequest, Proposal } from "#shared/listening";

/** Ports of a made-up machine, one for each thing that may be heard on a line. */
export const MADE_UP_PORTS = {
  celsius: "/dev/serial/by-id/usb-Demo_Temperature_Adapter_D4417-if00-port0",
  millivolts: "/dev/serial/by-id/usb-Demo_Millivolt_Adapter_D4418-if00-port0",
  asked: "/dev/serial/by-id/usb-Demo_Panel_Meter_D4419-if00",
  quiet: "/dev/ttyS0",
} as const;

const rate = { baudRate: 9600, framing: "8N1", isPolled: false } as const;

const celsiusProposals: readonly Proposal[] = [
  {
    ...rate,
    format: "columns/comma:celsius,cold-celsius,hectopascals",
    fits: 18,
    heard: 18,
    preview: { celsius: 512.4, coldJunctionCelsius: 24.1, hectopascals: 1013 },
  },
  {
    ...rate,
    format: "columns/comma:celsius,skip,skip",
    fits: 18,
    heard: 18,
    preview: { celsius: 512.4 },
  },
];

const millivoltProposals: readonly Proposal[] = [
  {
    ...rate,
    format: "pairs:E=millivolts,CJ=cold-celsius",
    fits: 16,
    heard: 17,
    preview: { millivolts: 4.1234, coldJunctionCelsius: 24.1 },
  },
];

const askedProposals: readonly Proposal[] = [
  {
    format: "modbus:unit=1;input 0 int16 *0.1=celsius",
    baudRate: 19_200,
    framing: "8E1",
    isPolled: true,
    fits: 6,
    heard: 6,
    preview: { celsius: 498.1 },
  },
];

/** What a made-up daemon hears on `MADE_UP_PORTS`, or its refusal of any other port. */
export function madeUpListenAnswer({ port, asks = false }: ListenRequest): ListenAnswer | { error: string } {
  switch (port) {
    case MADE_UP_PORTS.celsius:
      return heard(port, celsiusProposals, ["511.9,24.1,1013", "512.1,24.1,1013", "512.4,24.1,1013"]);
    case MADE_UP_PORTS.millivolts:
      return heard(port, millivoltProposals, ["E=4.1190 CJ=24.1", "E=4.1213 CJ=24.1", "E=4.1234 CJ=24.1"]);
    case MADE_UP_PORTS.asked:
      return asks ? heard(port, askedProposals, []) : silence(port);
    case MADE_UP_PORTS.quiet:
      return silence(port);
    default:
      return {
        error: `Cannot open ${port}: permission denied. Add this user to the dialout group and log in again.`,
      };
  }
}

function heard(port: string, proposals: readonly Proposal[], lines: readonly string[]): ListenAnswer {
  return { port, proposals: [...proposals], lines: [...lines], message: null };
}

function silence(port: string): ListenAnswer {
  return {
    port,
    proposals: [],
    lines: [],
    message:
      "Nothing was heard at 8 baud rates. Look whether the instrument is on and its cable is in; one that speaks only when asked must be asked.",
  };
}
