import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-hot-surface";
import { keptTogether } from "#kiosk-ui/format";
import { baseStyles } from "#kiosk-ui/tokens/touch";

/** Sentence and detail together, in letters, that the foot of a small screen holds at their usual size. */
const MOST_LETTERS = 170;

/** The one sentence at the bottom: what is happening, or, with a yellow edge, what a person should look at. */
@customElement("kiosk-sentence")
export class KioskSentence extends LitElement {
  /** The sentence. */
  @property() text = "";
  /** A second, smaller line: why, or what to do. */
  @property() detail = "";
  /** True while hot surfaces are near at hand: shows the sign. */
  @property({ type: Boolean }) isHot = false;
  /** True when somebody should look. */
  @property({ type: Boolean }) needsPerson = false;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        min-width: 0;
      }
      .sheet {
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: var(--space-4);
        height: 100%;
        min-height: var(--touch-target);
        padding: var(--space-2) var(--space-4) var(--space-2) var(--space-5);
        border-left: 12px solid transparent;
        overflow: hidden;
      }
      .needs {
        border-left-color: var(--color-person);
      }
      .text {
        font-size: var(--text-sentence);
        font-weight: var(--weight-strong);
        line-height: 1.2;
        text-wrap: balance;
      }
      .detail {
        margin-top: 3px;
        color: var(--color-ink-soft);
        font-size: var(--text-label);
        line-height: 1.25;
      }
      @media (max-height: 700px), (max-width: 1100px) {
        .sheet {
          gap: var(--space-2);
          padding-inline: var(--space-3);
        }
        .long .text {
          font-size: var(--text-lead);
          line-height: 1.15;
        }
        .long .detail {
          font-size: var(--text-caption);
          line-height: 1.15;
        }
      }
      @media (forced-colors: active) {
        .needs {
          border-left: 12px solid Highlight;
        }
      }
    `,
  ];

  protected override render() {
    const isLong = this.text.length + this.detail.length > MOST_LETTERS;
    return html`<div class="sheet ${this.needsPerson ? "needs" : ""} ${isLong ? "long" : ""}" role="status">
      <div>
        <p class="text">${keptTogether(this.text)}</p>
        ${this.detail ? html`<p class="detail">${keptTogether(this.detail)}</p>` : nothing}
      </div>
      ${this.isHot ? html`<kiosk-hot-surface isBrief></kiosk-hot-surface>` : nothing}
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-sentence": KioskSentence;
  }
}
