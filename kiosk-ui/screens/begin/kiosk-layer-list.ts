import { css, html, LitElement, nothing, svg } from "lit";
import { customElement, property } from "lit/decorators.js";
import type { LayerBar, LayerRow } from "#kiosk-ui/screens/begin/layer-rows";
import { baseStyles } from "#kiosk-ui/tokens/touch";

/** The right end of a bar, in ends of the window. */
const FULL_WINDOWS = 1.5;

/** The layers of a job, each with its heat work against its window: in words, and as a bar. */
@customElement("kiosk-layer-list")
export class KioskLayerList extends LitElement {
  /** The layers, in the order in which they were put on. */
  @property({ attribute: false }) rows: readonly LayerRow[] = [];

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
      }
      ul {
        display: grid;
        gap: var(--space-2);
      }
      .said {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        gap: 0 var(--space-3);
        font-size: var(--text-label);
        line-height: 1.25;
      }
      .name {
        font-weight: var(--weight-strong);
      }
      .text {
        grid-column: 1 / -1;
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
      }
      .outside {
        padding: 0 var(--space-2);
        border-radius: 4px;
        background: var(--color-person);
        color: var(--color-on-person);
        font-weight: var(--weight-strong);
      }
      svg {
        display: block;
        width: 100%;
        height: 14px;
        margin-top: 3px;
        overflow: visible;
      }
      .way {
        fill: var(--color-line);
      }
      .window {
        fill: var(--color-band);
        stroke: var(--color-ink-soft);
        stroke-width: 1.25;
        vector-effect: non-scaling-stroke;
      }
      .before {
        fill: var(--color-ink);
      }
      .added {
        fill: var(--color-ink-soft);
      }
      @media (forced-colors: active) {
        .outside {
          border: 2px solid Highlight;
        }
      }
    `,
  ];

  protected override render() {
    return html`<ul>
      ${this.rows.map(
        (row) => html`<li>
          <p class="said">
            <span class="name">${row.name}</span>
            ${row.side ? html`<span class=${row.isOutside ? "outside" : ""}>${row.side}</span>` : nothing}
            <span class="text">${row.text}</span>
          </p>
          ${row.bar ? renderBar(row.bar) : nothing}
        </li>`,
      )}
    </ul>`;
  }
}

/** Before in ink, this bake in soft ink, the window a box: hundredths of the width. */
function renderBar(bar: LayerBar) {
  const { beforeEquivalentSeconds: before, addedEquivalentSeconds: added } = bar;
  const full = Math.max(bar.mostEquivalentSeconds * FULL_WINDOWS, before + added);
  const x = (seconds: number) => (100 * seconds) / full;
  const part = (kind: string, from: number, to: number, y: number) =>
    svg`<rect class=${kind} x=${x(from)} y=${y} width=${x(to - from)} height=${14 - 2 * y}></rect>`;
  return html`<svg viewBox="0 0 100 14" preserveAspectRatio="none" aria-hidden="true">
    ${part("way", 0, full, 3)} ${part("window", bar.leastEquivalentSeconds, bar.mostEquivalentSeconds, 0)}
    ${part("before", 0, before, 4)} ${part("added", before, before + added, 4)}
  </svg>`;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-layer-list": KioskLayerList;
  }
}
