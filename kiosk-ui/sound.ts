import { pressingFaults } from "#kiosk-ui/components/reading-trust";
import { type BakeInView, type KioskState, readingAgeSeconds } from "#kiosk-ui/kiosk-state";
import type { Finding } from "#shared/comparison";

/** Why a tone sounds: a stage of the bake begins, or a person should look. */
export type Tone = "stage" | "person";

/** Two notes each, our own: falling softly for a stage; rising, twice, for a person. Hz and seconds. */
const NOTES: Readonly<
  Record<Tone, readonly { hertz: number; startSeconds: number; lengthSeconds: number }[]>
> = {
  stage: [
    { hertz: 587, startSeconds: 0, lengthSeconds: 0.16 },
    { hertz: 440, startSeconds: 0.15, lengthSeconds: 0.3 },
  ],
  person: [
    { hertz: 523, startSeconds: 0, lengthSeconds: 0.14 },
    { hertz: 784, startSeconds: 0.13, lengthSeconds: 0.22 },
    { hertz: 523, startSeconds: 0.5, lengthSeconds: 0.14 },
    { hertz: 784, startSeconds: 0.63, lengthSeconds: 0.3 },
  ],
};

const LOUDNESS = 0.18;

/** A running bake unheard for this long calls a person, s: longer than a moment's stutter of the line. */
const SILENCE_CALLS_AFTER_SECONDS = 10;

/** The kiosk's two tones. Silent until `unlock`, since browsers play nothing before the first touch. */
export class Sound {
  readonly #makeContext: () => AudioContext;
  #context: AudioContext | null = null;

  /** @param makeContext how an audio context is had; tests hand in their own */
  constructor(makeContext: () => AudioContext = () => new AudioContext()) {
    this.#makeContext = makeContext;
  }

  /** Called on a touch or key: from then on tones can be heard. A machine without sound stays silent. */
  unlock(): void {
    if (this.#context) return;
    try {
      this.#context = this.#makeContext();
    } catch {
      // no sound device: everything that sounds is also shown
    }
  }

  /** Plays a tone, if it may. */
  play(tone: Tone): void {
    const context = this.#context;
    if (!context) return;
    for (const note of NOTES[tone]) playNote(context, note);
  }
}

function playNote(context: AudioContext, note: (typeof NOTES)[Tone][number]): void {
  const start = context.currentTime + note.startSeconds;
  const oscillator = context.createOscillator();
  const gain = context.createGain();
  oscillator.type = "triangle";
  oscillator.frequency.value = note.hertz;
  gain.gain.setValueAtTime(0, start);
  gain.gain.linearRampToValueAtTime(LOUDNESS, start + 0.02);
  gain.gain.linearRampToValueAtTime(0, start + note.lengthSeconds);
  oscillator.connect(gain).connect(context.destination);
  oscillator.start(start);
  oscillator.stop(start + note.lengthSeconds);
}

/**
 * What should be heard when one state follows another: a person is called for a new finding that needs one, for a
 * new fault of the thermocouple or when a bake goes silent; a new stage, or the end of a bake, has the softer tone.
 * @param quietBakes bakes that make no sound
 * @returns null for silence; a person comes before a stage
 */
export function toneBetween(
  before: KioskState,
  after: KioskState,
  quietBakes: ReadonlySet<number>,
): Tone | null {
  const loud = after.openBakes.filter(({ bake }) => !quietBakes.has(bake.id));
  if (loud.some((bake) => callsPerson(before, after, bake))) return "person";
  const isNewStage = loud.some((bake) => {
    const earlier = earlierOf(before, bake);
    return earlier?.comparison && bake.comparison && !isSameStage(earlier, bake);
  });
  const hasEnded = after.finishedBakes.some(
    ({ bake }) => !quietBakes.has(bake.id) && before.openBakes.some((earlier) => earlier.bake.id === bake.id),
  );
  return isNewStage || hasEnded ? "stage" : null;
}

function callsPerson(before: KioskState, after: KioskState, bake: BakeInView): boolean {
  const earlier = earlierOf(before, bake);
  if (!earlier) return false;
  const known = new Set(earlier.comparison?.findings.map(findingKey));
  const hasNewFinding = bake.comparison?.findings.some(
    (finding) => finding.needsPerson && !known.has(findingKey(finding)),
  );
  const faultsBefore = new Set(pressingFaults(earlier.sensorFaults).map(({ kind }) => kind));
  const hasNewFault = pressingFaults(bake.sensorFaults).some(({ kind }) => !faultsBefore.has(kind));
  return hasNewFinding === true || hasNewFault || (isSilent(after, bake) && !isSilent(before, bake));
}

function earlierOf(before: KioskState, { bake }: BakeInView): BakeInView | undefined {
  return before.openBakes.find((earlier) => earlier.bake.id === bake.id);
}

function isSameStage(one: BakeInView, other: BakeInView): boolean {
  const [from, to] = [one.comparison?.stage, other.comparison?.stage];
  return from?.kind === to?.kind && from?.index === to?.index;
}

function findingKey({ code, index }: Finding): string {
  return `${code} ${index ?? 0}`;
}

function isSilent(state: KioskState, { bake }: BakeInView): boolean {
  const furnace = state.furnaces.find((candidate) => candidate.furnace.id === bake.furnaceId);
  const ageSeconds = furnace ? readingAgeSeconds(state, furnace) : null;
  return bake.state === "running" && ageSeconds !== null && ageSeconds > SILENCE_CALLS_AFTER_SECONDS;
}
