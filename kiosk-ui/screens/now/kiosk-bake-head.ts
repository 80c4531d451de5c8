import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { caseText } from "#kiosk-ui/components/case-text";
import { timeOfDayText } from "#kiosk-ui/format";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { BakeSummary } from "#shared/bake";

/**
 * The top row of a bake: furnace, plan, job, and what went in or else when it began.
 * @slot - what stands at the right: the stages
 */
@customElement("kiosk-bake-head")
export class KioskBakeHead extends LitElement {
  /** The bake. */
  @property({ attribute: false }) bake: BakeSummary | null = null;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        align-items: center;
        gap: var(--space-5);
        min-height: 58px;
      }
      h1 {
        flex: none;
      }
      .what {
        flex: 1 1 auto;
        min-width: 0;
        font-size: var(--text-lead);
        line-height: 1.2;
      }
      .what p {
        overflow: hidden;
        text-overflow: ellipsis;
        white-space: nowrap;
      }
      .plan {
        font-weight: var(--weight-strong);
      }
      /* It takes the place of the time, and needs more room: two lines where one is too short. */
      .what .case {
        font-size: var(--text-label);
        line-height: 1.15;
        white-space: normal;
        text-wrap: balance;
      }
      ::slotted(*) {
        flex: 0 1 46%;
        min-width: 0;
      }
      @media (max-width: 1100px) {
        .what .case {
          font-size: var(--text-caption);
        }
      }
      @media (max-height: 700px) {
        :host {
          min-height: 44px;
        }
      }
      @media (max-width: 700px) {
        :host {
          flex-wrap: wrap;
          gap: var(--space-2) var(--space-4);
        }
        .what {
          flex: 1 1 100%;
          order: 2;
        }
        ::slotted(*) {
          flex: 1 1 100%;
          order: 3;
        }
      }
    `,
  ];

  protected override render() {
    const { bake } = this;
    if (!bake) return nothing;
    const job = bake.jobNumber === null ? words.running.noJob : words.running.job(bake.jobNumber);
    const begun = words.running.started(timeOfDayText(bake.startedAtEpochMilliseconds));
    return html`<h1>${bake.furnaceName}</h1>
      <div class="what">
        <p class="plan">${bake.planName ?? words.running.noPlan}</p>
        ${
          bake.case
            ? html`<p class="case soft">${job} · ${caseText(bake.case)}</p>`
            : html`<p class="soft">${job} · ${begun}</p>`
        }
      </div>
      <slot></slot>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-bake-head": KioskBakeHead;
  }
}
