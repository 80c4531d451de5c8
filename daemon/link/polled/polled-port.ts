import type { Clock } from "#daemon/clock";
import { isPolled, type PolledFormat, parseFormat } from "#daemon/link/formats/formats";
import type { LinkOptions } from "#daemon/link/link";
import { PolledFurnace } from "#daemon/link/polled/polled-furnace";
import { QuestionLine } from "#daemon/link/polled/question-line";
import { PortKeeper, type PortUser } from "#daemon/link/port-keeper";
import { type LinkNow, StatusTeller } from "#daemon/link/status-teller";
import type { LinkStatus } from "#shared/furnace";

/** The line to a furnace that is asked; it may share its port with others. */
export interface PolledLink {
  readonly status: LinkStatus;
  /** Begins; called once. */
  start(): void;
  /** Ends it for good; settles when its part is done, and with the last one of a port, when that is closed. */
  close(): Promise<void>;
}

/** The ports on which furnaces are asked, each opened once, however many furnaces share it. */
export class PolledPorts {
  readonly #ports = new Map<string, PolledPort>();

  /** The line to a furnace that is asked; null when the format is of an instrument that speaks by itself. */
  linkFor(options: LinkOptions): PolledLink | null {
    const parsed = parseFormat(options.format);
    return parsed.ok && isPolled(parsed.format) ? new Member(options, parsed.format, this.#ports) : null;
  }
}

/** A furnace on a port. */
class Member implements PolledLink {
  readonly options: LinkOptions;
  readonly furnace: PolledFurnace;
  readonly teller: StatusTeller;
  /** Why it cannot be asked at all; null when it can. */
  readonly refusal: string | null;
  readonly #ports: Map<string, PolledPort>;
  #port: PolledPort | null = null;

  constructor(options: LinkOptions, polled: PolledFormat, ports: Map<string, PolledPort>) {
    this.options = options;
    this.refusal = refusalOf(options, polled);
    this.#ports = ports;
    this.furnace = new PolledFurnace({
      ...options,
      polled,
      onAnswer: (isRead) => this.#port?.heard(isRead),
      onChange: () => this.teller.tell(false),
    });
    this.teller = new StatusTeller(options.clock, () => this.#now(), options.onStatus);
  }

  get status(): LinkStatus {
    return this.teller.status;
  }

  start(): void {
    if (this.#port) throw new RangeError("PolledLink requires to be started once");
    if (this.refusal === null) {
      const { address } = this.options;
      const port = this.#ports.get(address) ?? new PolledPort(address, this.options.clock, this.#ports);
      this.#port = port;
      port.join(this);
    }
    this.teller.begin();
  }

  async close(): Promise<void> {
    this.furnace.stop();
    await this.#port?.leave(this);
  }

  #now(): LinkNow {
    const now = this.furnace.now;
    if (this.refusal !== null) return { ...now, kind: "absent", message: this.refusal };
    const port = this.#port?.shownTo(this) ?? { kind: "opening", message: null };
    const isOfPort = port.kind !== "listening" && port.kind !== "silent";
    if (isOfPort || port.message !== null) return { ...now, ...port };
    return { ...now, kind: port.kind === "silent" ? "silent" : now.kind };
  }
}

/** One port with the furnaces on it: kept open, and asked one question at a time. */
class PolledPort {
  readonly #address: string;
  readonly #clock: Clock;
  readonly #ports: Map<string, PolledPort>;
  #members: Member[] = [];
  /** The furnace by whose settings the port is open. */
  #leader: Member | null = null;
  #keeper: PortKeeper | null = null;
  #line: QuestionLine | null = null;

  constructor(address: string, clock: Clock, ports: Map<string, PolledPort>) {
    this.#address = address;
    this.#clock = clock;
    this.#ports = ports;
  }

  /** What the port is doing, as far as it matters to this furnace. */
  shownTo(member: Member): Pick<LinkStatus, "kind" | "message"> {
    if (this.#leader && !haveSameSettings(this.#leader, member))
      return { kind: "absent", message: this.#conflictMessage(this.#leader) };
    return { kind: this.#keeper?.kind ?? "opening", message: this.#keeper?.message ?? null };
  }

  join(member: Member): void {
    this.#ports.set(this.#address, this);
    this.#members.push(member);
    if (!this.#leader) this.#lead(member);
    else if (this.#line && this.#isAsked(member)) void member.furnace.askOn(this.#line);
  }

  async leave(member: Member): Promise<void> {
    this.#members = this.#members.filter((other) => other !== member);
    if (this.#leader !== member) return;
    const alike = this.#members.find((other) => haveSameSettings(other, member));
    if (alike) {
      this.#leader = alike;
      return;
    }
    await this.#close();
    const [oldest] = this.#members;
    if (oldest) this.#lead(oldest);
    else this.#ports.delete(this.#address);
  }

  heard(isRead: boolean): void {
    this.#keeper?.heard(isRead, null);
  }

  #lead(member: Member): void {
    const { baudRate, framing, sourceFor } = member.options;
    this.#leader = member;
    const keeper = new PortKeeper({
      address: this.#address,
      baudRate,
      framing,
      clock: this.#clock,
      sourceFor,
      silenceSeconds: () => this.#silenceSeconds(),
      userFor: (write) => this.#user(write),
      silenceMessage: () => null,
      onEnded: () => keeper.giveUp(`Cannot ask ${this.#address}: it is a recording. Choose the port itself.`),
      onChange: (isTick) => this.#tell(isTick),
    });
    this.#keeper = keeper;
    keeper.start(null);
  }

  async #close(): Promise<void> {
    const keeper = this.#keeper;
    this.#keeper = null;
    await keeper?.close();
    this.#leader = null;
  }

  #user(write: (bytes: Uint8Array) => boolean): PortUser {
    const baudRate = this.#address.startsWith("tcp:") ? null : (this.#leader?.options.baudRate ?? null);
    const line = new QuestionLine({ clock: this.#clock, write, baudRate });
    return {
      opened: () => {
        this.#line = line;
        for (const member of this.#members) if (this.#isAsked(member)) void member.furnace.askOn(line);
      },
      bytes: (chunk) => line.hear(chunk),
      closed: () => {
        this.#line = null;
        line.close();
      },
    };
  }

  #isAsked(member: Member): boolean {
    return this.#leader !== null && haveSameSettings(this.#leader, member);
  }

  #tell(isTick: boolean): void {
    const cycleSeconds = this.#cycleSeconds();
    for (const member of this.#members) {
      if (this.#keeper?.kind === "silent") member.furnace.isSilent = true;
      else if (isTick && this.#isAsked(member)) member.furnace.tick(cycleSeconds);
      member.teller.tell(isTick);
    }
  }

  /** As patient as the most patient furnace on it: one that answers keeps the port open for all. */
  #silenceSeconds(): number {
    const cycleSeconds = this.#cycleSeconds();
    return Math.max(...this.#members.map(({ furnace }) => furnace.patienceSeconds(cycleSeconds)), 0.1);
  }

  #cycleSeconds(): number {
    return this.#members.reduce((sum, { furnace }) => sum + furnace.roundSeconds, 0);
  }

  #conflictMessage(leader: Member): string {
    const { baudRate, framing = "8N1", furnaceId } = leader.options;
    return `${this.#address} is open at ${baudRate} ${framing} for ${furnaceId}. Set the same baud rate and framing here.`;
  }
}

function haveSameSettings(a: Member, b: Member): boolean {
  return (
    a.options.baudRate === b.options.baudRate && (a.options.framing ?? "8N1") === (b.options.framing ?? "8N1")
  );
}

/** Why a furnace cannot be asked in this format at this address; null when it can. */
function refusalOf({ address, framing = "8N1" }: LinkOptions, { kind }: PolledFormat): string | null {
  const isTcp = address.startsWith("tcp:");
  if (address.startsWith("file:"))
    return `Cannot ask ${address}: it is a recording. Choose the port itself, or a format of lines.`;
  if (kind === "modbus-tcp" && !isTcp)
    return `Cannot use modbus-tcp on ${address}: it needs tcp://host:502. Use modbus: on a serial line.`;
  if (kind === "modbus" && !isTcp && framing.startsWith("7"))
    return `Cannot use modbus on ${address} with ${framing}: its frames need eight data bits. Use 8N1, 8E1 or 8N2.`;
  return null;
}
