import { css, html, LitElement, svg } from "lit";
import { customElement, property } from "lit/decorators.js";
import { durationText, percentText, type TemperatureUnit, temperatureText } from "#kiosk-ui/format";
import type { StageBar } from "#kiosk-ui/screens/now/bake-progress";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

/** From so many bars on, only the one that runs has its whole name. */
const MANY = 5;
/** From so many on, the others have no name at all. */
const MOST_NAMED = 8;

/** The stages of a bake: words under bars that fill. */
@customElement("kiosk-stage-bars")
export class KioskStageBars extends LitElement {
  /** In the order of firing. */
  @property({ attribute: false }) bars: readonly StageBar[] = [];
  /** The scale of the temperatures in the words. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        min-width: 0;
      }
      ol {
        display: flex;
        gap: 6px;
      }
      li {
        position: relative;
        flex: 1 1 0;
        min-width: 0;
        padding-top: 12px;
      }
      svg {
        position: absolute;
        top: 0;
        left: 0;
        width: 100%;
        height: 7px;
      }
      .way {
        fill: var(--color-line);
      }
      .done {
        fill: var(--color-ink);
        transition: width var(--motion-calm) linear;
      }
      span {
        display: block;
        overflow: hidden;
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
        line-height: 1.2;
        text-overflow: ellipsis;
        white-space: nowrap;
      }
      .now {
        flex: 1 0 auto;
      }
      .now span {
        color: var(--color-ink);
        font-weight: var(--weight-heavy);
      }
      .most li:not(.now) span {
        display: none;
      }
    `,
  ];

  protected override render() {
    return html`<ol class=${this.bars.length >= MOST_NAMED ? "most" : ""} aria-label=${words.stages.title}>
      ${this.bars.map((bar) => this.#renderBar(bar))}
    </ol>`;
  }

  #renderBar(bar: StageBar) {
    const width = `${(bar.doneFraction * 100).toFixed(1)}%`;
    const label = stageLabel(bar, this.unit);
    const isBrief = this.bars.length >= MANY && !bar.isNow;
    return html`<li class=${bar.isNow ? "now" : ""} aria-label=${spoken(bar, label)}>
      <svg aria-hidden="true">
        ${svg`<rect class="way" width="100%" height="7" rx="3.5"></rect>
          <rect class="done" width=${width} height="7" rx="3.5"></rect>`}
      </svg>
      <span aria-hidden="true">${isBrief ? briefLabel(bar, this.unit) : label}</span>
    </li>`;
  }
}

/** A stage in words with its number: "Climb to 760", "Hold 1:00". */
export function stageLabel(
  bar: Pick<StageBar, "kind" | "celsius" | "lengthSeconds">,
  unit: TemperatureUnit,
): string {
  switch (bar.kind) {
    case "climb":
      return words.stages.climb(temperatureText(bar.celsius ?? 0, unit));
    case "hold":
      return words.stages.hold(durationText(bar.lengthSeconds ?? 0));
    case "drying":
      return words.stages.drying;
    case "cooling":
      return words.stages.cooling;
    case "done":
      return words.finished.title;
  }
}

/** Its number alone, where there is no room for more: "760", "1:00". */
function briefLabel(bar: StageBar, unit: TemperatureUnit): string {
  if (bar.kind === "climb") return temperatureText(bar.celsius ?? 0, unit);
  return bar.kind === "hold" ? durationText(bar.lengthSeconds ?? 0) : stageLabel(bar, unit);
}

function spoken(bar: StageBar, label: string): string {
  if (bar.isNow) return words.stages.now(label, percentText(bar.doneFraction));
  return bar.doneFraction === 1 ? words.stages.done(label) : words.stages.later(label);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-stage-bars": KioskStageBars;
  }
}
