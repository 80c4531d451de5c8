import { css, html, LitElement, type PropertyValues } from "lit";
import { customElement, property } from "lit/decorators.js";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import { insideFocusStyles } from "#kiosk-ui/screens/begin/inside-focus-styles";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";

/** A card to choose: its name, and in one line what it would fire now, or that it cannot. */
export interface CardChoice {
  readonly planId: number;
  readonly name: string;
  readonly facts: string;
}

/**
 * The cards, each with what it would fire for what goes in.
 * @fires plan-chosen {CustomEvent<number>} the plan's id
 */
@customElement("kiosk-card-list")
export class KioskCardList extends LitElement {
  /** The cards, the proposed one first. */
  @property({ attribute: false }) cards: readonly CardChoice[] = [];
  /** The chosen card's plan id. */
  @property({ attribute: false }) chosenPlanId: number | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    insideFocusStyles,
    css`
      :host {
        display: block;
      }
      ul {
        display: grid;
        gap: var(--space-2);
      }
      button {
        display: block;
        width: 100%;
        padding: var(--space-2) var(--space-4);
        border-color: transparent;
        color: var(--color-ink);
        text-align: left;
      }
      .name {
        display: block;
        overflow-wrap: break-word;
      }
      .facts {
        display: block;
        margin-top: 3px;
        color: var(--color-ink-soft);
        font-size: var(--text-label);
        font-weight: var(--weight-text);
      }
      button[aria-pressed="true"] .facts {
        color: var(--color-on-press);
      }
    `,
  ];

  protected override updated(changed: PropertyValues<this>) {
    if (!changed.has("chosenPlanId")) return;
    this.renderRoot.querySelector('[aria-pressed="true"]')?.scrollIntoView?.({ block: "nearest" });
  }

  protected override render() {
    return html`<ul aria-label=${beginWords.cards}>
      ${this.cards.map(
        ({ planId, name, facts }) => html`<li>
          <button
            aria-pressed=${planId === this.chosenPlanId}
            @click=${() => this.dispatchEvent(new CustomEvent("plan-chosen", { detail: planId }))}
          >
            <span class="name">${name}</span> <span class="facts">${facts}</span>
          </button>
        </li>`,
      )}
    </ul>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-card-list": KioskCardList;
  }
}
