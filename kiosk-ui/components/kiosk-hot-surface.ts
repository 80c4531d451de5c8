import { css, html, LitElement, nothing, svg } from "lit";
import { customElement, property } from "lit/decorators.js";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

/**
 * The hot-surface sign with its words. Sign: ISO 7010 W017, redrawn plainly as the standard has it (from
 * memory): black on a yellow triangle, three waves of heat over a surface. Its colours are the sign's own.
 */
@customElement("kiosk-hot-surface")
export class KioskHotSurface extends LitElement {
  /** True for the sign alone, where the words stand beside it already. */
  @property({ type: Boolean }) isBrief = false;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        align-items: center;
        gap: var(--space-3);
        font-size: var(--text-label);
        line-height: 1.2;
      }
      svg {
        flex: none;
        width: 52px;
        height: 46px;
        forced-color-adjust: none;
      }
    `,
  ];

  protected override render() {
    return html`<svg viewBox="0 0 104 92" role="img" aria-label=${words.hotSurface.sign}>
        ${svg`<path d="M52 7 L97 86 H7 Z" fill="#f9c80e" stroke="#f9c80e" stroke-width="12" stroke-linejoin="round"></path>
          <path d="M52 7 L97 86 H7 Z" fill="#111" stroke="#111" stroke-width="7" stroke-linejoin="round"></path>
          <path d="M52 14 L91 82 H13 Z" fill="#f9c80e" stroke="#f9c80e" stroke-width="3" stroke-linejoin="round"></path>
          <rect x="27" y="70" width="50" height="6" fill="#111"></rect>
          <g fill="none" stroke="#111" stroke-width="4.5" stroke-linecap="round">
            <path d="M39 65 c-5 -6 5 -10 0 -17"></path>
            <path d="M52 65 c-5 -7 6 -11 0 -18 c-4 -5 3 -7 0 -11"></path>
            <path d="M65 65 c-5 -6 5 -10 0 -17"></path>
          </g>`}
      </svg>
      ${this.isBrief ? nothing : html`<span>${words.hotSurface.text}</span>`}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-hot-surface": KioskHotSurface;
  }
}
