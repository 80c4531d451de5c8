import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import type { FurnaceRequest, ListedPort } from "#kiosk-ui/kiosk-client";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { Furnace } from "#shared/furnace";
import { furnaceRequestSchema } from "#shared/requests";

const BAUD_RATES = [1200, 2400, 4800, 9600, 19_200, 38_400, 57_600, 115_200] as const;

/** The form for a furnace's name, port, baud rate and format. Opened by `open()`. */
@customElement("kiosk-line-form")
export class KioskLineForm extends LitElement {
  /** The furnace whose line is changed. */
  @property({ attribute: false }) furnace: Furnace | null = null;
  /** The ports of the daemon's machine; null while they are being fetched. */
  @property({ attribute: false }) ports: readonly ListedPort[] | null = null;

  @state() private _port = "";
  @state() private _refusal = "";
  @query("dialog") private _dialog: HTMLDialogElement | undefined;
  #send: (request: FurnaceRequest) => void = () => undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      dialog {
        width: min(1000px, calc(100vw - 2 * var(--space-3)));
        max-height: calc(100vh - 2 * var(--space-3));
        padding: var(--space-4);
        overflow: auto;
        border: 2px solid var(--color-ink-soft);
        border-radius: var(--radius-sheet);
        background: var(--color-ground);
        color: var(--color-ink);
      }
      dialog::backdrop {
        background: rgb(0 0 0 / 45%);
      }
      h1 {
        margin-bottom: var(--space-3);
      }
      .fields {
        display: grid;
        grid-template-columns: 1fr 1fr 1fr;
        gap: var(--space-3);
      }
      label,
      .ports p {
        display: block;
        margin-bottom: var(--space-1);
        color: var(--color-ink-soft);
        font-size: var(--text-label);
      }
      .ports {
        grid-column: 1 / -1;
      }
      .list {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(100%, 380px), 1fr));
        gap: var(--space-2);
        margin-bottom: var(--space-3);
      }
      .list button {
        padding: var(--space-1) var(--space-3);
        text-align: left;
        overflow-wrap: anywhere;
      }
      .ports small {
        display: block;
        font-size: var(--text-caption);
        font-weight: var(--weight-text);
      }
      .refusal {
        margin-top: var(--space-3);
        color: var(--color-fault);
        font-weight: var(--weight-strong);
      }
      .end {
        display: flex;
        align-items: center;
        justify-content: flex-end;
        gap: var(--touch-gap);
        margin-top: var(--space-3);
      }
      .end button {
        min-width: calc(30 * var(--mm));
      }
      @media (max-width: 700px) {
        .fields {
          grid-template-columns: 1fr;
        }
      }
    `,
  ];

  /** Opens it over the page; `send` gets what was saved. */
  open(send: (request: FurnaceRequest) => void): void {
    this.#send = send;
    this._port = this.furnace?.port ?? "";
    this._refusal = "";
    if (!this._dialog?.open) this._dialog?.showModal();
  }

  protected override render() {
    const { furnace } = this;
    return html`<dialog aria-label=${words.upkeep.change}>
      ${furnace ? this.#renderForm(furnace) : nothing}
    </dialog>`;
  }

  #renderForm(furnace: Furnace) {
    const rates = [...new Set([...BAUD_RATES, furnace.baudRate])].sort((a, b) => a - b);
    return html`<form @submit=${this.#save} novalidate>
      <h1>${words.upkeep.openFor(furnace.name)}</h1>
      <div class="fields">
        <div class="ports">
          <p>${words.upkeep.choosePort}</p>
          <div class="list">${this.#renderPorts()}</div>
          <label for="port">${words.upkeep.otherPort}</label>
          <input
            id="port"
            .value=${this._port}
            autocomplete="off"
            @input=${(event: Event) => {
              this._port = (event.target as HTMLInputElement).value;
            }}
          />
        </div>
        <div>
          <label for="name">${words.upkeep.name}</label>
          <input id="name" name="name" .value=${furnace.name} maxlength="40" autocomplete="off" />
        </div>
        <div>
          <label for="baud">${words.upkeep.baudRate}</label>
          <select id="baud" name="baudRate">
            ${rates.map((rate) => html`<option ?selected=${rate === furnace.baudRate}>${rate}</option>`)}
          </select>
        </div>
        <div>
          <label for="format">${words.upkeep.format}: ${words.upkeep.formatHelp}</label>
          <input id="format" name="format" .value=${furnace.format} autocomplete="off" />
        </div>
      </div>
      <p class="refusal" role="alert" ?hidden=${this._refusal === ""}>${this._refusal}</p>
      <div class="end">
        <p class="caption soft">${words.upkeep.mains}</p>
        <button type="button" class="act" @click=${this.#close}>${words.cancel}</button>
        <button type="submit" class="act main">${words.upkeep.save}</button>
      </div>
    </form>`;
  }

  #renderPorts() {
    if (this.ports === null) return html`<p>${words.upkeep.portsLoading}</p>`;
    if (this.ports.length === 0) return html`<p>${words.upkeep.portsNone}</p>`;
    return this.ports.map(
      ({ stableName, device, note }) => html`<button
        type="button"
        aria-pressed=${stableName === this._port}
        @click=${() => {
          this._port = stableName;
        }}
      >
        ${stableName}<small>${device}${note ? `: ${note}` : ""}</small>
      </button>`,
    );
  }

  readonly #save = (event: Event) => {
    event.preventDefault();
    const fields = new FormData(event.target as HTMLFormElement);
    const request = furnaceRequestSchema.safeParse({
      name: fields.get("name"),
      port: this._port.trim() || null,
      baudRate: Number(fields.get("baudRate")),
      format: String(fields.get("format") ?? "").trim() || "auto",
    });
    if (!request.success) {
      this._refusal = request.error.issues
        .map(({ path, message }) => `${path.join(".")}: ${message}`)
        .join("; ");
      return;
    }
    this.#send(request.data);
    this.#close();
  };

  readonly #close = () => {
    this._dialog?.close();
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-line-form": KioskLineForm;
  }
}
