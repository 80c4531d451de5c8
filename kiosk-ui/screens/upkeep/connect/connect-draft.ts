import type { FurnaceRequest } from "#kiosk-ui/kiosk-client";
import { type Channels, isMillivolts } from "#kiosk-ui/screens/upkeep/connect/channels-text";
import { lineWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import type { Furnace, SerialFraming } from "#shared/furnace";
import type { Proposal } from "#shared/listening";
import type { ThermocoupleType, ToleranceClass } from "#shared/probe";

/** The four questions, in the order in which they are asked. */
export const CONNECT_STEPS = ["port", "format", "probe", "name"] as const;
/** One of the four questions. */
export type ConnectStep = (typeof CONNECT_STEPS)[number];

/** How the lines of a port are to be read. */
export interface LineReading {
  readonly format: string;
  readonly baudRate: number;
  readonly framing: SerialFraming;
  /** What a line said; empty when none was heard. */
  readonly preview: Channels;
}

/** The answers so far: one value, replaced whole. */
export interface ConnectDraft {
  readonly furnaceId: string;
  readonly isNew: boolean;
  readonly answered: readonly ConnectStep[];
  /** Null for a furnace that is not heard. */
  readonly port: string | null;
  readonly reading: LineReading;
  readonly type: ThermocoupleType | null;
  readonly toleranceClass: ToleranceClass | null;
  readonly name: string;
}

/** Nobody said how it reads: the daemon listens first. */
const unheard: LineReading = { format: "auto", baudRate: 9600, framing: "8N1", preview: {} };

/** What is known of a furnace before another is connected. */
type Known = Pick<Furnace, "id" | "name" | "port" | "probe">;

/**
 * No answer yet, for a furnace under the first number that is free; the one that a first start leaves waiting
 * for its line is taken instead of a second.
 */
export function newDraft(furnaces: readonly Known[]): ConnectDraft {
  const number = waitingNumber(furnaces) ?? freeNumber(furnaces);
  return {
    furnaceId: `furnace-${number}`,
    isNew: true,
    answered: [],
    port: null,
    reading: unheard,
    type: null,
    toleranceClass: null,
    name: lineWords.newName(number),
  };
}

/** 1 when there is but the furnace of a first start, of which nobody has said anything yet. */
function waitingNumber([first, ...others]: readonly Known[]): number | null {
  const isWaiting =
    first?.id === "furnace-1" &&
    first.name === lineWords.newName(1) &&
    first.port === null &&
    first.probe.type === null;
  return isWaiting && others.length === 0 ? 1 : null;
}

function freeNumber(furnaces: readonly Known[]): number {
  const taken = new Set(furnaces.flatMap(({ id, name }) => [id, name]));
  let number = 1;
  while (taken.has(`furnace-${number}`) || taken.has(lineWords.newName(number))) number += 1;
  return number;
}

/**
 * Every answer as it is with a furnace that is there already.
 * @param preview what it said last
 */
export function draftOf(furnace: Furnace, preview: Channels): ConnectDraft {
  const { id, name, port, format, baudRate, framing, probe } = furnace;
  return {
    furnaceId: id,
    isNew: false,
    answered: CONNECT_STEPS,
    port,
    reading: { format, baudRate, framing, preview },
    type: probe.type,
    toleranceClass: probe.toleranceClass,
    name,
  };
}

/** With a port; another one than before is yet to be heard. */
export function withPort(draft: ConnectDraft, port: string | null): ConnectDraft {
  if (port === null) return answering({ ...draft, port }, "port", "format");
  return { ...answering({ ...draft, port }, "port"), answered: answeredWithout(draft, "format") };
}

/** With the way to read its lines. */
export function withReading(draft: ConnectDraft, reading: LineReading): ConnectDraft {
  return answering({ ...draft, reading }, "format");
}

/** With the type of its thermocouple; a class that was said of another type is not carried over. */
export function withType(draft: ConnectDraft, type: ThermocoupleType | null): ConnectDraft {
  const toleranceClass = type === draft.type ? draft.toleranceClass : null;
  return answering({ ...draft, type, toleranceClass }, "probe");
}

/** Whether a question has an answer that will do. */
export function isAnswered({ answered, reading, type }: ConnectDraft, step: ConnectStep): boolean {
  if (step === "probe" && type === null && isMillivolts(reading.preview)) return false;
  return answered.includes(step);
}

/** Whether every question before has its answer. */
export function isOpen(draft: ConnectDraft, step: ConnectStep): boolean {
  return CONNECT_STEPS.slice(0, CONNECT_STEPS.indexOf(step)).every((before) => isAnswered(draft, before));
}

/** The question after one that was answered: the next without an answer, at last the name. */
export function stepAfter(draft: ConnectDraft): ConnectStep {
  return CONNECT_STEPS.find((step) => !isAnswered(draft, step)) ?? "name";
}

/** How a proposal reads a port. */
export function readingOf({ format, baudRate, framing, preview }: Proposal): LineReading {
  return { format, baudRate, framing, preview };
}

/** What is sent when all is answered. */
export function requestOf({ name, port, reading, type, toleranceClass }: ConnectDraft): FurnaceRequest {
  const { format, baudRate, framing } = reading;
  return { name: name.trim(), port, baudRate, framing, format, probe: { type, toleranceClass } };
}

function answering(draft: ConnectDraft, ...steps: readonly ConnectStep[]): ConnectDraft {
  return { ...draft, answered: [...new Set([...draft.answered, ...steps])] };
}

function answeredWithout({ answered }: ConnectDraft, step: ConnectStep): readonly ConnectStep[] {
  return [...new Set<ConnectStep>([...answered, "port"])].filter((other) => other !== step);
}
