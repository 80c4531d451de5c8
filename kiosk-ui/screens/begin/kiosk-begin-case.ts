import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-keypad";
import "#kiosk-ui/components/kiosk-scroll";
import "#kiosk-ui/screens/begin/kiosk-begin-choice";
import "#kiosk-ui/screens/begin/kiosk-layer-list";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { type CaseInPart, MOST_LAYERS, type NewLayer } from "#kiosk-ui/screens/begin/begin-draft";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import { insideFocusStyles } from "#kiosk-ui/screens/begin/inside-focus-styles";
import type { JobHistory } from "#kiosk-ui/screens/begin/job-history";
import { accountRow } from "#kiosk-ui/screens/begin/layer-rows";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { MaterialRevision } from "#shared/material";

/**
 * The first step of Begin, what goes in: the job, the case, and the layers put on before this bake.
 * @fires case-chosen {CustomEvent<CaseInPart>} the part that was chosen by hand, or taken back
 * @fires job-typed {CustomEvent<string>} the job number so far
 * @fires job-entered {CustomEvent} it was ended with Enter
 * @fires layer-toggled {CustomEvent<MaterialRevision>} a layer of this material is on, or off again
 */
@customElement("kiosk-begin-case")
export class KioskBeginCase extends LitElement {
  /** What goes in, as far as it is known. */
  @property({ attribute: false }) case: CaseInPart = {};
  /** The job number as typed or scanned. */
  @property() job = "";
  /** What the job has had; null while that is not known. */
  @property({ attribute: false }) history: JobHistory | null = null;
  /** The materials that layers can be of. */
  @property({ attribute: false }) materials: readonly MaterialRevision[] = [];
  /** The layers put on before this bake. */
  @property({ attribute: false }) layers: readonly NewLayer[] = [];
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    touchStyles,
    insideFocusStyles,
    css`
      :host {
        display: grid;
        grid-template-columns: minmax(0, 1fr) minmax(calc(60 * var(--mm) + 3 * var(--space-2)), 400px);
        gap: var(--space-5);
        min-height: 0;
      }
      .choices {
        display: grid;
        gap: var(--space-3);
        padding-bottom: 2px;
      }
      .row {
        display: grid;
        grid-template-columns: var(--begin-label, 7.2em) minmax(0, 1fr);
        gap: var(--space-3);
      }
      .beside {
        display: grid;
        align-content: center;
        min-height: var(--touch-target);
      }
      .chips {
        display: grid;
        grid-template-columns: repeat(3, minmax(0, 1fr));
        gap: var(--space-3) var(--touch-gap);
      }
      .chips button {
        padding: 0 var(--space-2);
        overflow-wrap: break-word;
        text-wrap: balance;
      }
      kiosk-layer-list {
        padding-bottom: var(--space-2);
      }
      .job {
        display: flex;
        flex-direction: column;
        gap: var(--space-2);
        min-height: 0;
        overflow-y: auto;
      }
      .field {
        position: relative;
      }
      .field label {
        position: absolute;
        top: 9px;
        left: calc(var(--space-3) + 2px);
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
        line-height: 1;
      }
      .field input {
        padding-top: 20px;
        font-size: var(--text-title);
        font-weight: var(--weight-heavy);
      }
      .field input::placeholder {
        color: var(--color-ink-soft);
        font-size: var(--text-body);
        font-weight: var(--weight-text);
      }
      @media (max-height: 700px) and (min-width: 701px) {
        :host,
        .choices,
        .job {
          gap: var(--space-2);
        }
        :host {
          --begin-label: 5.6em;
          column-gap: 30px;
        }
      }
      @media (max-width: 700px) {
        :host {
          display: flex;
          flex-direction: column-reverse;
          gap: var(--space-4);
        }
        .row {
          grid-template-columns: minmax(0, 1fr);
          gap: var(--space-1);
        }
        .beside {
          min-height: 0;
        }
        .chips {
          grid-template-columns: repeat(2, minmax(0, 1fr));
          gap: var(--space-2);
        }
        .job {
          overflow: visible;
        }
      }
    `,
  ];

  protected override render() {
    return html`
      <kiosk-scroll>
        <div class="choices">
          ${this.#renderChoice("framework", beginWords.framework, beginWords.frameworks)}
          ${this.#renderChoice("caseSize", beginWords.caseSize, beginWords.caseSizes)}
          ${this.#renderChoice("bake", beginWords.bake, beginWords.bakes)} ${this.#renderLayers()}
          ${this.#renderJobLayers()}
        </div>
      </kiosk-scroll>
      <div class="job">${this.#renderJob()}</div>
    `;
  }

  #renderChoice(part: keyof CaseInPart, label: string, choices: Readonly<Record<string, string>>) {
    return html`<kiosk-begin-choice
      .label=${label}
      .choices=${choices}
      .value=${this.case[part] ?? null}
      @choice-made=${({ detail }: CustomEvent<string | null>) => this.#tell("case-chosen", { [part]: detail })}
    ></kiosk-begin-choice>`;
  }

  #renderLayers() {
    const isFull = this.layers.length >= MOST_LAYERS;
    return html`<div class="row" role="group" aria-label=${beginWords.layers}>
      <p class="beside label soft" aria-hidden="true">${beginWords.layers}</p>
      ${
        this.materials.length === 0
          ? html`<p class="beside label soft">${beginWords.noMaterials}</p>`
          : html`<div class="chips">${this.materials.map((material) => this.#renderMaterial(material, isFull))}</div>`
      }
      ${isFull ? html`<p></p><p class="label soft">${beginWords.noMoreLayers}</p>` : nothing}
    </div>`;
  }

  #renderMaterial(revision: MaterialRevision, isFull: boolean) {
    const layer = this.layers.find(({ materialId }) => materialId === revision.materialId);
    return html`<button
      aria-pressed=${layer !== undefined}
      ?disabled=${isFull && !layer}
      @click=${() => this.#tell("layer-toggled", revision)}
    >
      ${layer?.name ?? revision.material.name}
    </button>`;
  }

  #renderJobLayers() {
    const { history } = this;
    if (!history || history.layers.length === 0) return nothing;
    return html`<div class="row">
      <p class="label soft">${beginWords.jobLayers(history.jobNumber)}</p>
      <kiosk-layer-list .rows=${history.layers.map((layer) => accountRow(layer, this.unit))}></kiosk-layer-list>
    </div>`;
  }

  #renderJob() {
    return html`
      <div class="field">
        <label for="job">${beginWords.jobNumber}</label>
        <input
          id="job"
          autocomplete="off"
          placeholder=${beginWords.jobHint}
          maxlength="40"
          .value=${this.job}
          @input=${({ target }: Event) => {
            if (target instanceof HTMLInputElement) this.#tell("job-typed", target.value);
          }}
          @keydown=${({ key }: KeyboardEvent) => {
            if (key === "Enter") this.#tell("job-entered");
          }}
        />
      </div>
      <kiosk-keypad
        .value=${this.job}
        @value-changed=${({ detail }: CustomEvent<string>) => this.#tell("job-typed", detail)}
      ></kiosk-keypad>
    `;
  }

  #tell(event: string, detail?: unknown) {
    this.dispatchEvent(new CustomEvent(event, { detail }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-begin-case": KioskBeginCase;
  }
}
