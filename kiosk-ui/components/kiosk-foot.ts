import { css, html, LitElement } from "lit";
import { customElement } from "lit/decorators.js";
import { act } from "#kiosk-ui/components/kiosk-action";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

/**
 * The bottom row of every screen: what is said, what can be done, and the way to the other places.
 * @slot - the sentence, or the running bakes
 * @slot actions - buttons, 20 mm
 */
@customElement("kiosk-foot")
export class KioskFoot extends LitElement {
  static override styles = [
    baseStyles,
    touchStyles,
    css`
      :host {
        display: flex;
        gap: var(--touch-gap);
        min-width: 0;
      }
      .said {
        flex: 1 1 auto;
        min-width: 0;
        display: grid;
      }
      .actions {
        display: flex;
        gap: var(--touch-gap);
        align-items: stretch;
      }
      .actions > button,
      ::slotted(button) {
        min-height: var(--touch-target-act);
        min-width: calc(24 * var(--mm)) !important;
        font-size: var(--text-lead) !important;
      }
      @media (max-width: 1100px) {
        .actions > button,
        ::slotted(button) {
          min-width: var(--touch-target-act) !important;
          padding-inline: var(--space-2) !important;
        }
      }
      @media (max-width: 700px) {
        :host {
          flex-direction: column;
        }
        .actions {
          flex-wrap: wrap;
          gap: var(--space-2);
        }
        .actions > button,
        ::slotted(button) {
          flex: 1 1 auto;
          min-width: var(--touch-target) !important;
        }
      }
    `,
  ];

  protected override render() {
    return html`
      <div class="said"><slot></slot></div>
      <nav class="actions">
        <slot name="actions"></slot>
        <button @click=${this.#openPlaces}>${words.places.open}</button>
      </nav>
    `;
  }

  #openPlaces() {
    act(this, { kind: "open-places" });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-foot": KioskFoot;
  }
}
