import { css, html, LitElement } from "lit";
import { customElement, property } from "lit/decorators.js";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";

/** One of the things to choose from. */
export interface ChoiceOf {
  readonly value: string;
  readonly name: string;
}

/**
 * One of a few, side by side, each a tap away.
 * @fires choice-made {CustomEvent<string>} the value tapped; the owner decides whether to take it
 */
@customElement("kiosk-choices")
export class KioskChoices extends LitElement {
  /** What is chosen here. */
  @property() label = "";
  /** The choices, in the order shown. */
  @property({ attribute: false }) choices: readonly ChoiceOf[] = [];
  /** The chosen value; empty for none. */
  @property() value = "";
  /** True where all stand in one row, their words on two lines if need be. */
  @property({ type: Boolean, reflect: true }) isRow = false;
  /** True where the label is for readers of screens only. */
  @property({ type: Boolean }) isBare = false;

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      :host {
        display: block;
        min-width: 0;
      }
      .label {
        margin-bottom: 2px;
        color: var(--color-ink-soft);
        font-size: var(--text-label);
      }
      .choices {
        display: flex;
        flex-wrap: wrap;
        gap: var(--space-1);
      }
      :host([isRow]) .choices {
        flex-wrap: nowrap;
      }
      @media (max-height: 700px) {
        :host([isRow]) .label {
          display: none;
        }
      }
      @media (max-width: 700px) {
        :host([isRow]) .choices {
          flex-wrap: wrap;
        }
        :host([isRow]) .label {
          display: block;
        }
      }
      button {
        flex: 1 1 auto;
        padding: 0 var(--space-2);
        font-size: var(--text-label);
      }
    `,
  ];

  protected override render() {
    return html`
      ${this.isBare ? "" : html`<p class="label" aria-hidden="true">${this.label}</p>`}
      <div class="choices" role="group" aria-label=${this.label} data-quick>
        ${this.choices.map(
          ({ value, name }) => html`<button
            type="button"
            aria-pressed=${value === this.value}
            @click=${() => this.dispatchEvent(new CustomEvent("choice-made", { detail: value }))}
          >
            ${name}
          </button>`,
        )}
      </div>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-choices": KioskChoices;
  }
}
