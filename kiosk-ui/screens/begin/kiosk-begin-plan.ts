import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-scroll";
import "#kiosk-ui/screens/begin/kiosk-card-list";
import "#kiosk-ui/screens/begin/kiosk-fitted-plan";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import type { FittedCard } from "#kiosk-ui/screens/begin/fitted-card";
import type { CardChoice } from "#kiosk-ui/screens/begin/kiosk-card-list";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { PlanRevision } from "#shared/plan";

/**
 * The second step of Begin, the plan: what goes in, the cards with the proposed one first, and the chosen card's
 * effective plan.
 * @fires plan-chosen {CustomEvent<number>} the id of the card tapped
 * @fires case-wanted {CustomEvent} what goes in is to be changed
 */
@customElement("kiosk-begin-plan")
export class KioskBeginPlan extends LitElement {
  /** What goes in, in words, one line each. */
  @property({ attribute: false }) goesIn: readonly string[] = [];
  /** The cards, the proposed one first. */
  @property({ attribute: false }) cards: readonly CardChoice[] = [];
  /** The chosen card. */
  @property({ attribute: false }) card: PlanRevision | null = null;
  /** The same, fitted to what goes in. */
  @property({ attribute: false }) fitted: FittedCard | null = null;
  /** The name of the card's material; empty for none. */
  @property() materialName = "";
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      :host {
        display: grid;
        grid-template-columns: minmax(250px, 28%) minmax(0, 1fr);
        gap: var(--space-4);
        min-height: 0;
      }
      .left {
        display: grid;
        grid-template-rows: auto minmax(0, 1fr);
        gap: var(--space-2);
        min-height: 0;
      }
      .case {
        padding: var(--space-2) var(--space-4);
        font-weight: var(--weight-text);
        text-align: left;
      }
      .case small {
        display: block;
        font-size: var(--text-caption);
      }
      .case strong,
      .case span {
        display: block;
      }
      .case strong {
        font-weight: var(--weight-strong);
      }
      .case span {
        font-size: var(--text-label);
      }
      @media (max-width: 700px) {
        :host {
          display: flex;
          flex-direction: column;
        }
      }
    `,
  ];

  protected override render() {
    const [first = "", ...rest] = this.goesIn;
    return html`
      <div class="left">
        <button class="case" @click=${() => this.dispatchEvent(new CustomEvent("case-wanted"))}>
          <small>${beginWords.change}</small> <strong>${first}</strong>
          ${rest.map((line) => html` <span>${line}</span>`)}
        </button>
        <kiosk-scroll>
          <kiosk-card-list
            .cards=${this.cards}
            .chosenPlanId=${this.card?.planId ?? null}
            @plan-chosen=${({ detail }: CustomEvent<number>) =>
              this.dispatchEvent(new CustomEvent("plan-chosen", { detail }))}
          ></kiosk-card-list>
        </kiosk-scroll>
      </div>
      ${
        this.card
          ? html`<kiosk-scroll .label=${this.card.plan.name}>
            <kiosk-fitted-plan
              .card=${this.card}
              .fitted=${this.fitted}
              .materialName=${this.materialName}
              .unit=${this.unit}
            ></kiosk-fitted-plan>
          </kiosk-scroll>`
          : nothing
      }
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-begin-plan": KioskBeginPlan;
  }
}
