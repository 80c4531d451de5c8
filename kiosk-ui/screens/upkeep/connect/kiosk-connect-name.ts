import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { live } from "lit/directives/live.js";
import { toleranceClasses } from "#core/thermocouple/tolerance";
import type { ConnectDraft } from "#kiosk-ui/screens/upkeep/connect/connect-draft";
import { connectStyles } from "#kiosk-ui/screens/upkeep/connect/connect-styles";
import { connectWords } from "#kiosk-ui/screens/upkeep/connect/connect-words";
import { lineWords, upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { ThermocoupleType, ToleranceClass } from "#shared/probe";

const words = connectWords.name;

/**
 * The last question: the furnace's name, and the class of its thermocouple for those who know it.
 * @fires name-changed {CustomEvent<string>} as typed so far
 * @fires class-chosen {CustomEvent<ToleranceClass | null>} the class; null when nobody knows it
 * @fires connect-wanted {CustomEvent} everything is as it should be
 */
@customElement("kiosk-connect-name")
export class KioskConnectName extends LitElement {
  /** The answers so far. */
  @property({ attribute: false }) draft: ConnectDraft | null = null;
  /** True while the daemon has not answered. */
  @property({ type: Boolean }) isBusy = false;
  /** Why it was not done; empty when nothing was refused. */
  @property() refusal = "";

  static override styles = [
    baseStyles,
    touchStyles,
    connectStyles,
    css`
      :host {
        display: block;
      }
      form {
        display: grid;
        grid-template: minmax(0, 1fr) auto / minmax(0, 1fr);
        gap: var(--space-3);
        height: 100%;
      }
      .fields {
        display: grid;
        gap: var(--space-4);
        align-content: start;
        min-height: 0;
        overflow-y: auto;
      }
      input {
        max-width: 640px;
        font-size: var(--text-title);
        font-weight: var(--weight-heavy);
      }
      .classes {
        display: flex;
        flex-wrap: wrap;
        gap: var(--space-2);
      }
      .end {
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: var(--space-5);
      }
      .said {
        flex: 1 1 auto;
      }
      .end button {
        min-width: calc(40 * var(--mm));
        font-size: var(--text-lead);
      }
      @media (max-width: 700px) {
        .end {
          flex-direction: column;
          align-items: stretch;
        }
      }
      .notes {
        display: grid;
        gap: 2px;
      }
    `,
  ];

  protected override render() {
    const { draft } = this;
    if (!draft) return nothing;
    return html`<form @submit=${this.#connect} novalidate>
      <div class="fields">
        <div>
          <label for="name">${words.label}</label>
          <input id="name" autocomplete="off" maxlength="40" .value=${live(draft.name)} @input=${this.#rename} />
        </div>
        ${draft.type ? this.#renderClasses(draft.type, draft.toleranceClass) : nothing}
      </div>
      <div class="end">
        ${this.refusal ? this.#renderRefusal() : this.#renderNotes()}
        <button type="submit" class="act main" ?disabled=${this.isBusy}>${this.#connectWord(draft)}</button>
      </div>
    </form>`;
  }

  #renderRefusal() {
    return html`<p class="sheet said" role="alert"><strong>${words.refused}</strong> ${this.refusal}</p>`;
  }

  #renderNotes() {
    return html`<div class="notes caption soft">
      <p>${words.later}</p>
      <p>${lineWords.recorder} ${words.codes}</p>
    </div>`;
  }

  #renderClasses(type: ThermocoupleType, chosen: ToleranceClass | null) {
    const classes = [null, ...toleranceClasses(type)];
    return html`<div role="group" aria-labelledby="class">
      <p id="class" class="over">${words.class(type)}</p>
      <div class="classes">
        ${classes.map(
          (toleranceClass) => html`<button
            type="button"
            aria-pressed=${toleranceClass === chosen}
            @click=${() => this.dispatchEvent(new CustomEvent("class-chosen", { detail: toleranceClass }))}
          >
            ${toleranceClass ? upkeepWords.probe.classes[toleranceClass] : words.classUnknown}
          </button>`,
        )}
      </div>
    </div>`;
  }

  #connectWord({ isNew }: ConnectDraft) {
    if (this.isBusy) return words.sending;
    return isNew ? words.connect : words.save;
  }

  readonly #rename = (event: Event) => {
    const { value } = event.target as HTMLInputElement;
    this.dispatchEvent(new CustomEvent("name-changed", { detail: value }));
  };

  readonly #connect = (event: Event) => {
    event.preventDefault();
    this.dispatchEvent(new CustomEvent("connect-wanted"));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-connect-name": KioskConnectName;
  }
}
