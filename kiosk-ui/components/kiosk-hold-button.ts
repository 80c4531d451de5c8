import { css, html, LitElement, svg } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { numberText } from "#kiosk-ui/format";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";

const HOLD_MILLISECONDS = 2000;
const STEP_MILLISECONDS = 100;

/**
 * What is done on purpose only: kept pressed for two seconds, by finger or by Enter or Space, with the countdown in
 * sight. Whoever cannot keep it pressed taps it and is asked once more.
 * @fires confirmed {CustomEvent} held long enough, or confirmed after a tap
 */
@customElement("kiosk-hold-button")
export class KioskHoldButton extends LitElement {
  /** What it does. */
  @property() label = "";
  /** True while it may not be pressed. */
  @property({ type: Boolean }) disabled = false;
  /** What is asked after a tap, and the two answers. */
  @property() question: string = words.bake.tooShort;
  @property() yes: string = words.bake.closeNow;
  @property() no: string = words.bake.keepOpen;

  @state() private _heldMilliseconds: number | null = null;
  @state() private _asks = false;
  #timer: ReturnType<typeof setInterval> | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      :host {
        display: block;
      }
      .hold {
        position: relative;
        width: 100%;
        overflow: hidden;
        user-select: none;
        touch-action: none;
      }
      .hold svg {
        position: absolute;
        inset: 0;
        width: 100%;
        height: 100%;
        fill: var(--color-line);
      }
      .hold span {
        position: relative;
        display: block;
      }
      small {
        display: block;
        font-size: var(--text-caption);
        font-weight: var(--weight-text);
      }
      .ask {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: var(--touch-gap);
      }
      .ask p {
        grid-column: 1 / -1;
        font-weight: var(--weight-strong);
      }
    `,
  ];

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stop();
  }

  protected override render() {
    return this._asks ? this.#renderQuestion() : this.#renderHold();
  }

  #renderHold() {
    const held = this._heldMilliseconds;
    const left = numberText(Math.ceil((HOLD_MILLISECONDS - (held ?? 0)) / 1000));
    return html`<button
      class="act hold"
      ?disabled=${this.disabled}
      @pointerdown=${this.#press}
      @pointerup=${this.#release}
      @pointerleave=${this.#stop}
      @pointercancel=${this.#stop}
      @contextmenu=${(event: Event) => event.preventDefault()}
      @keydown=${this.#keyDown}
      @keyup=${this.#keyUp}
      @blur=${this.#stop}
    >
      <svg aria-hidden="true">
        ${svg`<rect height="100%" width="${(((held ?? 0) / HOLD_MILLISECONDS) * 100).toFixed(1)}%"></rect>`}
      </svg>
      <span>${this.label}<small>${held === null ? words.bake.holdIdle : words.bake.hold(left)}</small></span>
    </button>`;
  }

  #renderQuestion() {
    return html`<div class="ask" role="group">
      <p role="alert">${this.question}</p>
      <button class="act" @click=${this.#keep}>${this.no}</button>
      <button class="act main" @click=${this.#confirm}>${this.yes}</button>
    </div>`;
  }

  readonly #press = (event: PointerEvent) => {
    if (event.button === 0) this.#start();
  };

  readonly #release = () => {
    const wasHeld = this._heldMilliseconds !== null;
    this.#stop();
    if (wasHeld) this._asks = true;
  };

  readonly #keyDown = (event: KeyboardEvent) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    if (!event.repeat) this.#start();
  };

  readonly #keyUp = (event: KeyboardEvent) => {
    if (event.key === "Enter" || event.key === " ") this.#release();
  };

  #start() {
    if (this.disabled || this._heldMilliseconds !== null) return;
    this._heldMilliseconds = 0;
    this.#timer = setInterval(() => {
      this._heldMilliseconds = (this._heldMilliseconds ?? 0) + STEP_MILLISECONDS;
      if (this._heldMilliseconds >= HOLD_MILLISECONDS) this.#confirm();
    }, STEP_MILLISECONDS);
  }

  readonly #stop = () => {
    clearInterval(this.#timer);
    this._heldMilliseconds = null;
  };

  readonly #keep = () => {
    this._asks = false;
  };

  readonly #confirm = () => {
    this.#stop();
    this._asks = false;
    this.dispatchEvent(new CustomEvent("confirmed"));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-hold-button": KioskHoldButton;
  }
}
