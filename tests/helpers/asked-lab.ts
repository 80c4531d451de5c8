import { systemClock } from "#daemon/clock";
import type { LinkOptions } from "#daemon/link/link";
import { type PolledLink, PolledPorts } from "#daemon/link/polled/polled-port";
import type { Reading } from "#daemon/link/reading";
import { type LinkStatus, linkStatusSchema } from "#shared/furnace";

/** A furnace that is asked, which keeps what it tells, and lets a test wait for something that it tells. */
export interface AskedFurnace {
  readonly link: PolledLink;
  readonly readings: Reading[];
  readonly statuses: LinkStatus[];
  until(isTrue: () => boolean): Promise<void>;
  /** So many readings more than now. */
  more(count: number): Promise<void>;
  celsius(): (number | undefined)[];
}

/** The ports of a lab, and furnaces on them. */
export function askedLab() {
  const ports = new PolledPorts();
  const furnaces: AskedFurnace[] = [];
  const ask = (options: Partial<LinkOptions> & Pick<LinkOptions, "address" | "format">): AskedFurnace => {
    const readings: Reading[] = [];
    const statuses: LinkStatus[] = [];
    let wake = () => {};
    const link = ports.linkFor({
      furnaceId: `furnace-${furnaces.length + 1}`,
      baudRate: 9600,
      clock: systemClock,
      ...options,
      onReading: (reading) => {
        readings.push(reading);
        wake();
      },
      onStatus: (status) => {
        statuses.push(linkStatusSchema.parse(status));
        wake();
      },
    });
    if (!link) throw new RangeError(`${options.format} is not asked`);
    const until = (isTrue: () => boolean) =>
      new Promise<void>((resolve) => {
        wake = () => {
          if (isTrue()) resolve();
        };
        wake();
      });
    const more = (count: number) => {
      const wanted = readings.length + count;
      return until(() => readings.length >= wanted);
    };
    const celsius = () => readings.map((reading) => reading.celsius);
    const furnace = { link, readings, statuses, until, more, celsius };
    furnaces.push(furnace);
    link.start();
    return furnace;
  };
  const close = async () => {
    for (const { link } of furnaces) await link.close();
  };
  return { ask, close };
}
