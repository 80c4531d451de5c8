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
