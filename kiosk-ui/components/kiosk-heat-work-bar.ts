import { css, html, LitElement, nothing, svg } from "lit";
import { customElement, property } from "lit/decorators.js";
import { spokenRange } from "#kiosk-ui/components/thermocouple-words";
import { percentText } from "#kiosk-ui/format";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

/** Half width of the window that counts as right: for demonstration, until grades have taught a true one. */
export const WINDOW_FRACTION = 0.1;
/** What the right end of the bar stands for. */
const FULL_FRACTION = 1.5;

/** Heat work against the plan's: a bar with its window (short, right, excess) and the plan's mark. */
@customElement("kiosk-heat-work-bar")
export class KioskHeatWorkBar extends LitElement {
  /** Delivered over planned; null before anything is compared. */
  @property({ attribute: false }) ratio: number | null = null;
  /** Between what it lies by the thermocouple's uncertainty; null where that is not known. */
  @property({ attribute: false }) range: { readonly low: number; readonly high: number } | null = null;
  /** True once nothing more comes: the side that the bar ends on is then said. */
  @property({ type: Boolean }) isFinal = false;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        container-type: inline-size;
      }
      svg {
        display: block;
        width: 100%;
        height: 34px;
        overflow: visible;
      }
      .way {
        fill: var(--color-line);
      }
      .window {
        fill: var(--color-band);
        stroke: var(--color-ink-soft);
        stroke-width: 1.25;
      }
      .delivered {
        fill: var(--color-ink);
      }
      .planned {
        stroke: var(--color-ink);
        stroke-width: 2;
        stroke-dasharray: 2 3;
      }
      .over {
        stroke: var(--color-sheet);
      }
      .whisker {
        stroke: var(--color-ink);
        stroke-width: 2;
      }
      /* The edge keeps it apart from the delivered bar, which is ink as well. */
      .halo {
        stroke: var(--color-sheet);
        stroke-width: 5;
      }
      .words {
        position: relative;
        height: 1.4em;
        font-size: var(--text-caption);
        color: var(--color-ink-soft);
      }
      .words span {
        position: absolute;
        transform: translateX(-50%);
      }
      .short {
        left: 30%;
      }
      .right {
        left: 66.67%;
      }
      .excess {
        left: 87%;
      }
      @container (max-width: 220px) {
        .final span:not(.is) {
          display: none;
        }
      }
      .is {
        color: var(--color-ink);
        font-weight: var(--weight-heavy);
      }
    `,
  ];

  protected override render() {
    const { ratio } = this;
    const side = this.isFinal && ratio !== null ? heatWorkSide(ratio) : null;
    const spoken = ratio === null ? words.reading.noReading : `${percentText(ratio)} %`;
    const range = this.range
      ? ` ${spokenRange(percentText(this.range.low), percentText(this.range.high))}`
      : "";
    return html`
      <div role="img" aria-label="${words.running.heatWork}: ${spoken}.${range} ${words.running.windowNote}">
        <svg aria-hidden="true">
          ${svg`<rect class="way" y="4" width="100%" height="26" rx="5"></rect>
            <rect class="delivered" y="4" width=${share(ratio ?? 0)} height="26" rx="5"></rect>
            <rect class="window" fill-opacity="0.5" y="4" x=${share(1 - WINDOW_FRACTION)} width=${share(2 * WINDOW_FRACTION)} height="26"></rect>
            <line class="planned ${ratio !== null && ratio > 1 ? "over" : ""}" x1=${share(1)} x2=${share(1)} y1="0" y2="34"></line>
            ${this.#renderWhisker()}`}
        </svg>
        <div class="words ${side ? "final" : ""}" aria-hidden="true">
          ${(["short", "right", "excess"] as const).map(
            (word) => html`<span class="${word} ${side === word ? "is" : ""}">${words.running[word]}</span>`,
          )}
        </div>
      </div>
    `;
  }

  /** A thin line from low to high with a stroke at each end that lies on the bar. */
  #renderWhisker() {
    if (!this.range) return nothing;
    const { low, high } = this.range;
    const line = (
      name: string,
    ) => svg`<line class=${name} x1=${share(low)} x2=${share(high)} y1="17" y2="17"></line>
      <line class=${name} x1=${share(low)} x2=${share(low)} y1="11" y2="23"></line>
      ${high > FULL_FRACTION ? nothing : svg`<line class=${name} x1=${share(high)} x2=${share(high)} y1="11" y2="23"></line>`}`;
    return svg`<g class="range">${line("halo")}${line("whisker")}</g>`;
  }
}

/** On which side of the window a ratio lies. */
export function heatWorkSide(ratio: number): "short" | "right" | "excess" {
  if (ratio < 1 - WINDOW_FRACTION) return "short";
  return ratio > 1 + WINDOW_FRACTION ? "excess" : "right";
}

function share(fraction: number): string {
  return `${(Math.min(1, Math.max(0, fraction / FULL_FRACTION)) * 100).toFixed(2)}%`;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-heat-work-bar": KioskHeatWorkBar;
  }
}
