import { css, html, LitElement } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-keypad";
import "#kiosk-ui/components/kiosk-plan-list";
import "#kiosk-ui/components/kiosk-scroll";
import "#kiosk-ui/components/kiosk-sentence";
import { Scanner } from "#kiosk-ui/components/scanner";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import { jobNumberSchema } from "#shared/bake";
import type { PlanRevision } from "#shared/plan";

/**
 * Begins a bake, or gives an open one its plan and job: a plan by touch, a job number by scanner, keypad or
 * keyboard.
 * @fires cancelled {CustomEvent} nothing is to be begun
 * @fires chosen {CustomEvent<{ planId: number; jobNumber: string | null }>} what was confirmed
 */
@customElement("kiosk-begin")
export class KioskBegin extends LitElement {
  /** What is about to be done. */
  @property() heading = "";
  /** What the confirming button says. */
  @property() confirmWord: string = words.begin.confirm;
  /** The newest revision of every plan. */
  @property({ attribute: false }) plans: readonly PlanRevision[] = [];
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** The plan chosen at the start. */
  @property({ attribute: false }) planId: number | null = null;
  /** The job number at the start. */
  @property() jobNumber = "";
  /** True while the daemon has not answered. */
  @property({ type: Boolean }) isBusy = false;

  @state() private _chosenPlanId: number | null = null;
  @state() private _job = "";
  @state() private _scanned = false;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    css`
      .body {
        display: grid;
        grid-template-columns: minmax(0, 1fr) minmax(calc(60 * var(--mm) + 3 * var(--space-2)), 430px);
        gap: var(--space-4);
        min-height: 0;
      }
      .job {
        display: flex;
        flex-direction: column;
        gap: var(--space-2);
        min-height: 0;
        overflow-y: auto;
      }
      .job input::placeholder {
        color: var(--color-ink-soft);
        font-weight: var(--weight-text);
      }
      .job input {
        font-size: var(--text-title);
        font-weight: var(--weight-heavy);
      }
      .none {
        padding: var(--space-5);
      }
      @media (max-height: 700px) and (min-width: 701px) {
        .job label {
          position: absolute;
          z-index: 1;
          margin: var(--space-2) var(--space-3);
        }
        .job input {
          padding-top: 26px;
        }
        :host {
          gap: var(--space-2);
        }
        .job {
          gap: var(--space-1);
        }
      }
      @media (max-width: 700px) {
        .body {
          grid-template-columns: minmax(0, 1fr);
        }
        .job {
          overflow: visible;
        }
      }
    `,
  ];

  constructor() {
    super();
    new Scanner(this, (scanned) => {
      this._job = scanned;
      this._scanned = true;
    });
  }

  protected override willUpdate() {
    if (this.hasUpdated) return;
    this._chosenPlanId = this.planId ?? (this.plans.length === 1 ? (this.plans[0]?.planId ?? null) : null);
    this._job = this.jobNumber;
  }

  protected override render() {
    const chosen = this.plans.find(({ planId }) => planId === this._chosenPlanId);
    return html`
      <h1>${this.heading}</h1>
      <div class="body">
        <kiosk-scroll>${this.plans.length > 0 ? this.#renderPlans() : this.#renderNone()}</kiosk-scroll>
        <div class="job">${this.#renderJob()}</div>
      </div>
      <kiosk-foot>
        <kiosk-sentence
          .text=${chosen ? chosen.plan.name : words.begin.chooseFirst}
          .detail=${this.#detail(chosen !== undefined)}
          .needsPerson=${!this.#isJobFit()}
        ></kiosk-sentence>
        <button slot="actions" class="act" @click=${this.#cancel}>${words.cancel}</button>
        <button
          slot="actions"
          class="act main"
          ?disabled=${!chosen || this.isBusy || !this.#isJobFit()}
          @click=${this.#confirm}
        >
          ${this.isBusy ? words.begin.sending : this.confirmWord}
        </button>
      </kiosk-foot>
    `;
  }

  #renderPlans() {
    return html`<kiosk-plan-list
      .plans=${this.plans}
      .unit=${this.unit}
      .chosenPlanId=${this._chosenPlanId}
      @plan-chosen=${(event: CustomEvent<number>) => {
        this._chosenPlanId = event.detail;
      }}
    ></kiosk-plan-list>`;
  }

  #renderNone() {
    return html`<div class="sheet none">
      <h2>${words.begin.noPlans}</h2>
      <p class="soft">${words.begin.noPlansHelp}</p>
    </div>`;
  }

  #renderJob() {
    return html`
      <label class="label" for="job">${words.begin.job}</label>
      <input
        id="job"
        autocomplete="off"
        placeholder=${words.begin.jobHint}
        maxlength="40"
        .value=${this._job}
        @input=${(event: Event) => {
          this.#setJob((event.target as HTMLInputElement).value);
        }}
      />
      <kiosk-keypad
        .value=${this._job}
        @value-changed=${(event: CustomEvent<string>) => this.#setJob(event.detail)}
      ></kiosk-keypad>
    `;
  }

  #detail(isChosen: boolean) {
    if (!this.#isJobFit()) return words.begin.jobRefused;
    if (this._scanned) return words.begin.scanned(this._job);
    return isChosen ? words.begin.chosenDetail : "";
  }

  #isJobFit() {
    return this._job.trim() === "" || jobNumberSchema.safeParse(this._job).success;
  }

  #setJob(job: string) {
    this._job = job;
    this._scanned = false;
  }

  readonly #cancel = () => {
    this.dispatchEvent(new CustomEvent("cancelled"));
  };

  readonly #confirm = () => {
    if (this._chosenPlanId === null) return;
    const detail = { planId: this._chosenPlanId, jobNumber: this._job.trim() || null };
    this.dispatchEvent(new CustomEvent("chosen", { detail }));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-begin": KioskBegin;
  }
}
