import { type BeginDesk, fetchJobHistory, type JobHistory } from "#kiosk-ui/screens/begin/job-history";
import { jobNumberSchema } from "#shared/bake";

/** How far the look-up of a job has come. */
export type JobLookUpState =
  | { readonly kind: "none" }
  | { readonly kind: "looking"; readonly jobNumber: string }
  | { readonly kind: "found"; readonly jobNumber: string; readonly history: JobHistory }
  /** With the daemon's one line. */
  | { readonly kind: "failed"; readonly jobNumber: string; readonly message: string };

/** A number typed by hand is looked up when nothing was added to it for so long, ms. */
export const TYPING_PAUSE_MILLISECONDS = 600;

/** Looks jobs up as their numbers are typed; what comes late for an older number is left aside. */
export class JobLookUp {
  readonly #onChange: () => void;
  #state: JobLookUpState = { kind: "none" };
  #timer: ReturnType<typeof setTimeout> | undefined;

  /** @param onChange called whenever the state changes */
  constructor(onChange: () => void) {
    this.#onChange = onChange;
  }

  get state(): JobLookUpState {
    return this.#state;
  }

  /** The number has become this by typing: it is looked up in a moment. */
  typed(desk: BeginDesk | null, job: string, exceptBakeId: number | null): void {
    this.#forget();
    this.#timer = setTimeout(() => void this.lookUp(desk, job, exceptBakeId), TYPING_PAUSE_MILLISECONDS);
  }

  /** Looks a number up at once; one that is no job number, or is known already, is left. */
  async lookUp(desk: BeginDesk | null, job: string, exceptBakeId: number | null): Promise<void> {
    const jobNumber = job.trim();
    const isKnown =
      this.#state.kind !== "none" && this.#state.kind !== "failed" && this.#state.jobNumber === jobNumber;
    if (isKnown) return;
    this.#forget();
    if (!desk || !jobNumberSchema.safeParse(jobNumber).success) return;
    const looking: JobLookUpState = { kind: "looking", jobNumber };
    this.#set(looking);
    const answer = await fetchJobHistory(desk, jobNumber, exceptBakeId).then(
      (history): JobLookUpState => ({ kind: "found", jobNumber, history }),
      (error: unknown): JobLookUpState => ({ kind: "failed", jobNumber, message: messageOf(error) }),
    );
    if (this.#state === looking) this.#set(answer);
  }

  /** Nothing more is wanted. */
  end(): void {
    clearTimeout(this.#timer);
  }

  #forget(): void {
    clearTimeout(this.#timer);
    if (this.#state.kind !== "none") this.#set({ kind: "none" });
  }

  #set(state: JobLookUpState): void {
    this.#state = state;
    this.#onChange();
  }
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
