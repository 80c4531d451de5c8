import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-hold-button";
import "#kiosk-ui/components/kiosk-probe-record";
import { act } from "#kiosk-ui/components/kiosk-action";
import { thermocoupleWords } from "#kiosk-ui/components/thermocouple-words";
import { keptTogether, type TemperatureUnit } from "#kiosk-ui/format";
import type { BakeInView } from "#kiosk-ui/kiosk-state";
import { liveFindingSentence } from "#kiosk-ui/screens/now/bake-sentence";
import { dialogStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

/**
 * What can be done with an open bake: see its findings, give it another plan or job, close it by hand.
 * Opened by `open()`.
 * @fires plan-wanted {CustomEvent} another plan or job number is to be given
 */
@customElement("kiosk-bake-dialog")
export class KioskBakeDialog extends LitElement {
  /** The open bake. */
  @property({ attribute: false }) bake: BakeInView | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @query("dialog") private _dialog: HTMLDialogElement | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    dialogStyles,
    css`
      :host {
        --dialog-width: 900px;
      }
      .columns {
        display: grid;
        grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
        gap: var(--touch-gap);
      }
      .sheet {
        padding: var(--space-3) var(--space-4);
      }
      li {
        margin-top: var(--space-2);
      }
      .next {
        margin: var(--space-4) 0 var(--space-1);
      }
      .do {
        display: grid;
        align-content: start;
        gap: var(--touch-gap);
      }
      .do p {
        margin-top: calc(var(--space-2) - var(--touch-gap));
      }
      @media (max-width: 700px) {
        .columns {
          grid-template-columns: 1fr;
        }
      }
    `,
  ];

  /** Opens it over the page. */
  open(): void {
    if (!this._dialog?.open) this._dialog?.showModal();
  }

  protected override render() {
    const { bake } = this;
    return html`<dialog aria-label=${words.bake.title}>
      ${bake ? this.#renderBake(bake) : nothing}
    </dialog>`;
  }

  #renderBake({ bake, comparison, probe, sensorFaults }: BakeInView) {
    const findings = comparison?.findings ?? [];
    const job = bake.jobNumber === null ? words.running.noJob : words.running.job(bake.jobNumber);
    return html`
      <header>
        <div>
          <h1>${bake.furnaceName}: ${bake.planName ?? words.running.noPlan}</h1>
          <p class="soft">${job}</p>
        </div>
        <button @click=${this.#close}>${words.back}</button>
      </header>
      <div class="columns">
        <section class="sheet">
          <h2>${words.bake.findings}</h2>
          ${
            findings.length === 0
              ? html`<p class="soft">${words.bake.noFindings}</p>`
              : html`<ul>
                ${findings.map((finding) => html`<li>${keptTogether(comparison ? liveFindingSentence(finding, comparison.stage, this.unit) : "")}</li>`)}
              </ul>`
          }
          <h2 class="next">${thermocoupleWords.title}</h2>
          <kiosk-probe-record
            .probe=${probe}
            .faults=${sensorFaults}
            .startedAtEpochMilliseconds=${bake.startedAtEpochMilliseconds}
            .unit=${this.unit}
          ></kiosk-probe-record>
        </section>
        <section class="do">
          <button class="act" @click=${this.#wantPlan}>${words.bake.changePlan}</button>
          <kiosk-hold-button
            .label=${words.bake.close}
            @confirmed=${() => this.#closeBake(bake.id)}
          ></kiosk-hold-button>
          <p class="caption soft">${words.bake.closeHelp}</p>
        </section>
      </div>
    `;
  }

  readonly #close = () => {
    this._dialog?.close();
  };

  readonly #wantPlan = () => {
    this.#close();
    this.dispatchEvent(new CustomEvent("plan-wanted"));
  };

  #closeBake(bakeId: number) {
    this.#close();
    act(this, { kind: "close-bake", bakeId });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-bake-dialog": KioskBakeDialog;
  }
}
