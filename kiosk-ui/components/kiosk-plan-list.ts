import { css, html, LitElement, type PropertyValues } from "lit";
import { customElement, property } from "lit/decorators.js";
import { planFacts } from "#kiosk-ui/components/plan-facts";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { PlanRevision } from "#shared/plan";

/**
 * Plans to choose one from: a name and the numbers by which it is known.
 * @fires plan-chosen {CustomEvent<number>} the plan's id
 */
@customElement("kiosk-plan-list")
export class KioskPlanList extends LitElement {
  /** The newest revision of every plan. */
  @property({ attribute: false }) plans: readonly PlanRevision[] = [];
  /** The chosen plan's id. */
  @property({ attribute: false }) chosenPlanId: number | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    touchStyles,
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
        font-size: var(--text-lead);
      }
      .facts {
        display: block;
        margin-top: 3px;
        font-size: var(--text-label);
        font-weight: var(--weight-text);
        color: var(--color-ink-soft);
      }
      button[aria-pressed="true"] .facts {
        color: var(--color-on-press);
      }
    `,
  ];

  /** The chosen plan stays in sight, also when the page takes another size. */
  readonly #sizes = new ResizeObserver(() => this.#showChosen());

  override connectedCallback(): void {
    super.connectedCallback();
    this.#sizes.observe(document.documentElement);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#sizes.disconnect();
  }

  protected override updated(changed: PropertyValues<this>) {
    if (changed.has("chosenPlanId")) this.#showChosen();
  }

  #showChosen() {
    this.renderRoot.querySelector('[aria-pressed="true"]')?.scrollIntoView?.({ block: "nearest" });
  }

  protected override render() {
    return html`<ul aria-label=${words.begin.choosePlan}>
      ${this.plans.map(
        (revision) => html`<li>
          <button
            aria-pressed=${revision.planId === this.chosenPlanId}
            @click=${() => this.dispatchEvent(new CustomEvent("plan-chosen", { detail: revision.planId }))}
          >
            <span class="name">${revision.plan.name}</span>
            <span class="facts">${planFacts(revision.plan, this.unit)}</span>
          </button>
        </li>`,
      )}
    </ul>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-plan-list": KioskPlanList;
  }
}
