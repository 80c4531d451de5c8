import { css, html, LitElement, nothing, svg } from "lit";
import { customElement, property } from "lit/decorators.js";
import {
  heatWorkWords,
  isImpossible,
  spokenEnd,
  windowSentence,
  windowSetters,
} from "#kiosk-ui/components/heat-work-words";
import { spokenRange } from "#kiosk-ui/components/thermocouple-words";
import { percentText } from "#kiosk-ui/format";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { HeatWorkWindow, Outlook } from "#shared/outlook";

/** What counts as right where no layer says: for demonstration, until grades have taught a true window. */
const DEMONSTRATION_WINDOW = { lowRatio: 0.9, highRatio: 1.1, lowLayer: "", highLayer: "" };
/** What the right end of the bar may stand for: the first that leaves the window some air. */
const FULL_RATIOS = [1.5, 2, 3, 4] as const;
const AIR_RATIO = 0.15;

/** On which side of its window a heat work lies. */
export type HeatWorkSide = "short" | "right" | "excess";

/**
 * Heat work against the plan's: a bar with its window, the plan's mark, and while the bake runs a pointer where
 * it will end. What the ware has had, as it is estimated, is a thin bar below.
 *
 *     ██████████████░░░░░░░┌──┊──┐░░░░░░░
 *     ▬▬▬▬▬▬▬▬▬        ├──▲─┤
 *           short         right     excess
 */
@customElement("kiosk-heat-work-bar")
export class KioskHeatWorkBar extends LitElement {
  /** Delivered over planned; null before anything is compared. */
  @property({ attribute: false }) ratio: number | null = null;
  /** Between what it lies by the thermocouple's uncertainty; null where that is not known. */
  @property({ attribute: false }) range: { readonly low: number; readonly high: number } | null = null;
  /** True once nothing more comes: the side that the bar ends on is then said. */
  @property({ type: Boolean }) isFinal = false;
  /** Within what every layer of the job comes out right; null where none says. */
  @property({ attribute: false }) window: HeatWorkWindow | null = null;
  /** Where it will end as it is going; null where nobody knows, and once it has ended. */
  @property({ attribute: false }) end: Outlook["asGoing"] | null = null;
  /** What the ware has had, as it is estimated, over what is planned; null where nobody knows. */
  @property({ attribute: false }) wareRatio: number | null = null;

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
      svg.live {
        height: 43px;
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
      .ware {
        fill: var(--color-ink-soft);
      }
      .end {
        stroke: var(--color-ink-soft);
        stroke-width: 2;
      }
      .pointer {
        fill: var(--color-ink);
      }
      .pointer.short {
        fill: var(--color-cool);
      }
      .pointer.excess {
        fill: var(--color-warm);
      }
      .words {
        display: grid;
        column-gap: var(--space-2);
        font-size: var(--text-caption);
        line-height: 1.4;
        color: var(--color-ink-soft);
        text-align: center;
        white-space: nowrap;
      }
      @container (max-width: 220px) {
        .final {
          display: block;
        }
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
    const { ratio, window, end } = this;
    const { lowRatio, highRatio } = this.#shownWindow;
    const settled = end?.ratio ?? (this.isFinal ? ratio : null);
    const side = settled === null || (window && isImpossible(window)) ? null : heatWorkSide(settled, window);
    const isOpen = this.#shownWindow.highLayer === null;
    const share = (shown: number) => percentOf(shown, this.#fullRatio);
    const planned = ratio !== null && ratio > 1 ? "over" : "";
    return html`
      <div role="img" aria-label=${this.#spoken()}>
        <svg class=${end || this.wareRatio !== null ? "live" : ""} aria-hidden="true">
          ${svg`<rect class="way" y="4" width="100%" height="26" rx="5"></rect>
            ${
              highRatio > lowRatio || isOpen
                ? svg`<rect class="window" y="4" x=${share(lowRatio)} width=${share(this.#windowEnd - lowRatio)} height="26"></rect>`
                : nothing
            }
            <rect class="delivered" y="8" width=${share(ratio ?? 0)} height="18" rx="3"></rect>
            <line class="planned ${planned}" x1=${share(1)} x2=${share(1)} y1="0" y2="34"></line>
            ${this.#renderWhisker()} ${this.#renderWare()} ${this.#renderEnd(side)}`}
        </svg>
        ${this.#renderWords(side)}
      </div>
    `;
  }

  get #shownWindow(): HeatWorkWindow {
    return this.window ?? DEMONSTRATION_WINDOW;
  }

  /** Where the window ends on the bar: at the bar's end where no layer sets an upper one. */
  get #windowEnd(): number {
    const { highRatio, highLayer } = this.#shownWindow;
    return Math.min(this.#fullRatio, highLayer === null ? Number.POSITIVE_INFINITY : highRatio);
  }

  /** What the right end of the bar stands for: it depends on the window alone, so that no bar jumps. */
  get #fullRatio(): number {
    const { lowRatio, highRatio, highLayer } = this.#shownWindow;
    const farthest = Math.max(1, lowRatio, highLayer === null ? 0 : highRatio) + AIR_RATIO;
    return FULL_RATIOS.find((full) => full >= farthest) ?? FULL_RATIOS[3];
  }

  #spoken(): string {
    const { ratio, range, end, wareRatio, window } = this;
    return [
      `${words.running.heatWork}: ${ratio === null ? words.reading.noReading : `${percentText(ratio)} %`}.`,
      range ? spokenRange(percentText(range.low), percentText(range.high)) : "",
      end ? spokenEnd(end) : "",
      wareRatio === null ? "" : heatWorkWords.spokenWare(percentText(wareRatio)),
      window ? windowSentence(window) : words.running.windowNote,
      window ? windowSetters(window) : "",
    ]
      .filter((sentence) => sentence !== "")
      .join(" ");
  }

  /** The three words under their stretches; where a stretch is narrow they make room for each other. */
  #renderWords(side: HeatWorkSide | null) {
    const { lowRatio } = this.#shownWindow;
    const low = Math.min(lowRatio, this.#fullRatio);
    const stretches: Record<HeatWorkSide, number> = {
      short: low,
      right: this.#windowEnd - low,
      excess: this.#fullRatio - Math.max(low, this.#windowEnd),
    };
    const shown = (["short", "right", "excess"] as const).filter((word) => stretches[word] > 0);
    const columns = shown.map((word) => `minmax(min-content, ${(100 * stretches[word]).toFixed(1)}fr)`);
    return html`<div
      class="words ${this.isFinal && side ? "final" : ""}"
      style="grid-template-columns: ${columns.join(" ")}"
      aria-hidden="true"
    >
      ${shown.map((word) => html`<span class=${side === word ? "is" : ""}>${words.running[word]}</span>`)}
    </div>`;
  }

  /** What the ware has had: a thin bar along the lower edge. */
  #renderWare() {
    if (this.wareRatio === null) return nothing;
    return svg`<rect class="ware" y="33" width=${percentOf(this.wareRatio, this.#fullRatio)} height="4"></rect>`;
  }

  /** Where it will end: a pointer from below, on the line between what nine times in ten comes. */
  #renderEnd(side: HeatWorkSide | null) {
    if (!this.end) return nothing;
    const { ratio, lowRatio, highRatio } = this.end;
    const share = (shown: number) => percentOf(shown, this.#fullRatio);
    return svg`<line class="end" x1=${share(lowRatio)} x2=${share(highRatio)} y1="41" y2="41"></line>
      <svg x=${share(ratio)} y="31" overflow="visible"><path class="pointer ${side ?? ""}" d="M0 0 8 11H-8Z"></path></svg>`;
  }

  /** A thin line from low to high with a stroke at each end that lies on the bar. */
  #renderWhisker() {
    if (!this.range) return nothing;
    const { low, high } = this.range;
    const share = (shown: number) => percentOf(shown, this.#fullRatio);
    const line = (
      name: string,
    ) => svg`<line class=${name} x1=${share(low)} x2=${share(high)} y1="17" y2="17"></line>
      <line class=${name} x1=${share(low)} x2=${share(low)} y1="11" y2="23"></line>
      ${high > this.#fullRatio ? nothing : svg`<line class=${name} x1=${share(high)} x2=${share(high)} y1="11" y2="23"></line>`}`;
    return svg`<g class="range">${line("halo")}${line("whisker")}</g>`;
  }
}

/**
 * On which side of its window a ratio lies.
 * @param window of the job's layers; null for the one of demonstration
 */
export function heatWorkSide(ratio: number, window: HeatWorkWindow | null = null): HeatWorkSide {
  const { lowRatio, highRatio, highLayer } = window ?? DEMONSTRATION_WINDOW;
  if (ratio < lowRatio) return "short";
  return highLayer !== null && ratio > highRatio ? "excess" : "right";
}

function percentOf(ratio: number, fullRatio: number): string {
  return `${(Math.min(1, Math.max(0, ratio / fullRatio)) * 100).toFixed(2)}%`;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-heat-work-bar": KioskHeatWorkBar;
  }
}
