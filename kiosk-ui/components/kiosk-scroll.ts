import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

/** Less than this out of sight is nothing to point at, CSS px. */
const SLACK_PIXELS = 12;

/**
 * What may be longer than its place: scrolls by touch, and says so while there is more below.
 * @slot - the contents
 */
@customElement("kiosk-scroll")
export class KioskScroll extends LitElement {
  /** What is in it, for readers; with it, keys can scroll it too. */
  @property() label = "";

  @state() private _hasMore = false;
  @query(".view") private _view: HTMLElement | undefined;
  @query(".inside") private _inside: HTMLElement | undefined;
  readonly #sizes = new ResizeObserver(() => this.#look());

  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        flex-direction: column;
        min-width: 0;
        min-height: 0;
      }
      .view {
        position: relative; /* what only readers hear stands within it */
        flex: 1 1 auto;
        min-height: 0;
        overflow: hidden auto;
        scrollbar-width: thin;
        overscroll-behavior: contain;
        touch-action: pan-y;
        border-radius: var(--radius-sheet);
      }
      .view:focus-visible {
        outline: var(--focus-ring);
        outline-offset: -3px;
      }
      p {
        flex: none;
        height: 0;
        font-size: var(--text-caption);
        line-height: 22px;
        text-align: center;
        color: var(--color-ink-soft);
        overflow: hidden;
      }
      p.more {
        height: 22px;
      }
      @media (max-width: 700px) {
        .view {
          overflow: visible;
        }
        p.more {
          height: 0;
        }
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    if (this.hasUpdated) this.#watch();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#sizes.disconnect();
  }

  /** Goes back to the first line. */
  toTop(): void {
    this._view?.scrollTo({ top: 0 });
  }

  protected override firstUpdated() {
    this.#watch();
  }

  protected override render() {
    return html`
      <div
        class="view"
        tabindex=${this.label ? 0 : nothing}
        role=${this.label ? "region" : nothing}
        aria-label=${this.label || nothing}
        @scroll=${this.#look}
      >
        <div class="inside"><slot></slot></div>
      </div>
      <p class=${this._hasMore ? "more" : ""} aria-hidden="true">${words.moreBelow}</p>
    `;
  }

  #watch() {
    for (const part of [this._view, this._inside]) if (part) this.#sizes.observe(part);
    this.#look();
  }

  readonly #look = () => {
    const view = this._view;
    if (!view) return;
    this._hasMore = view.scrollHeight - view.scrollTop - view.clientHeight > SLACK_PIXELS;
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-scroll": KioskScroll;
  }
}
