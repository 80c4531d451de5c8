import { css, html, LitElement } from "lit";
import { customElement, property } from "lit/decorators.js";
import { insideFocusStyles } from "#kiosk-ui/screens/begin/inside-focus-styles";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";

/**
 * One of a few things in a row of large buttons, all in sight; tapping the chosen one takes it back.
 * @fires choice-made {CustomEvent<string | null>} the value tapped; null where it was the chosen one
 */
@customElement("kiosk-begin-choice")
export class KioskBeginChoice extends LitElement {
  /** What is chosen here. */
  @property() label = "";
  /** Values and their names, in the order shown. */
  @property({ attribute: false }) choices: Readonly<Record<string, string>> = {};
  /** The chosen value; null for none. */
  @property({ attribute: false }) value: string | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    insideFocusStyles,
    css`
      :host {
        display: block;
      }
      div {
        display: grid;
        grid-template-columns: var(--begin-label, 7.2em) minmax(0, 1fr);
        align-items: center;
        gap: var(--space-3);
      }
      p {
        color: var(--color-ink-soft);
        font-size: var(--text-label);
      }
      ul {
        display: flex;
        gap: var(--touch-gap);
      }
      li {
        flex: 1 1 0;
        min-width: 0;
      }
      button {
        width: 100%;
        height: 100%;
        padding: 0 var(--space-2);
        overflow-wrap: break-word;
        text-wrap: balance;
      }
      @media (max-width: 700px) {
        div {
          grid-template-columns: minmax(0, 1fr);
          gap: var(--space-1);
        }
        ul {
          display: grid;
          grid-template-columns: repeat(3, minmax(0, 1fr));
          gap: var(--space-2);
        }
        ul.even {
          grid-template-columns: repeat(2, minmax(0, 1fr));
        }
      }
    `,
  ];

  protected override render() {
    const choices = Object.entries(this.choices);
    return html`<div role="group" aria-label=${this.label}>
      <p aria-hidden="true">${this.label}</p>
      <ul class=${choices.length % 2 === 0 ? "even" : ""}>
        ${choices.map(
          ([value, name]) => html`<li>
            <button aria-pressed=${value === this.value} @click=${() => this.#tell(value)}>${name}</button>
          </li>`,
        )}
      </ul>
    </div>`;
  }

  #tell(value: string) {
    const detail = value === this.value ? null : value;
    this.dispatchEvent(new CustomEvent("choice-made", { detail }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-begin-choice": KioskBeginChoice;
  }
}
