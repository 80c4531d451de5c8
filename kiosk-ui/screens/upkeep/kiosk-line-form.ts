import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import { live } from "lit/directives/live.js";
import type { FurnaceRequest, ListedPort } from "#kiosk-ui/kiosk-client";
import { dialogStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { Furnace } from "#shared/furnace";
import { furnaceRequestSchema } from "#shared/requests";

/** What stands in the fields, as typed. */
interface Draft {
  readonly name: string;
  readonly port: string;
  readonly baudRate: number;
  readonly format: string;
}

const emptyDraft: Draft = { name: "", port: "", baudRate: 9600, format: "auto" };

const BAUD_RATES = [1200, 2400, 4800, 9600, 19_200, 38_400, 57_600, 115_200] as const;

/** The form for a furnace's name, port, baud rate and format. Opened by `open()`. */
@customElement("kiosk-line-form")
export class KioskLineForm extends LitElement {
  /** The furnace whose line is changed. */
  @property({ attribute: false }) furnace: Furnace | null = null;
  /** The ports of the daemon's machine; null while they are being fetched. */
  @property({ attribute: false }) ports: readonly ListedPort[] | null = null;

  @state() private _draft: Draft = emptyDraft;
  @state() private _refusal = "";
  @query("dialog") private _dialog: HTMLDialogElement | undefined;
  #send: (request: FurnaceRequest) => void = () => undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    dialogStyles,
    css`
      :host {
        --dialog-width: 1000px;
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
    this._draft = draftOf(this.furnace);
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
    const draft = this._draft;
    const rates = [...new Set([...BAUD_RATES, draft.baudRate])].sort((a, b) => a - b);
    return html`<form @submit=${this.#save} novalidate>
      <h1>${words.upkeep.openFor(furnace.name)}</h1>
      <div class="fields">
        <div class="ports">
          <p>${words.upkeep.choosePort}</p>
          <div class="list">${this.#renderPorts()}</div>
          ${this.#renderField("port", words.upkeep.otherPort)}
        </div>
        <div>${this.#renderField("name", words.upkeep.name)}</div>
        <div>
          <label for="baud">${words.upkeep.baudRate}</label>
          <select
            id="baud"
            @change=${(event: Event) =>
              this.#change({ baudRate: Number((event.target as HTMLSelectElement).value) })}
          >
            ${rates.map(
              (rate) =>
                html`<option value=${rate} .selected=${live(rate === draft.baudRate)}>${rate}</option>`,
            )}
          </select>
        </div>
        <div>
          ${this.#renderField("format", `${words.upkeep.format}: ${words.upkeep.formatHelp}`)}
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

  #renderField(field: "port" | "name" | "format", label: string) {
    return html`<label for=${field}>${label}</label>
      <input
        id=${field}
        autocomplete="off"
        .value=${live(this._draft[field])}
        @input=${(event: Event) => this.#change({ [field]: (event.target as HTMLInputElement).value })}
      />`;
  }

  #renderPorts() {
    if (this.ports === null) return html`<p>${words.upkeep.portsLoading}</p>`;
    if (this.ports.length === 0) return html`<p>${words.upkeep.portsNone}</p>`;
    return this.ports.map(
      ({ stableName, device, note }) => html`<button
        type="button"
        aria-pressed=${stableName === this._draft.port}
        @click=${() => this.#change({ port: stableName })}
      >
        ${stableName}<small>${device}${note ? `: ${note}` : ""}</small>
      </button>`,
    );
  }

  #change(change: Partial<Draft>) {
    this._draft = { ...this._draft, ...change };
  }

  readonly #save = (event: Event) => {
    event.preventDefault();
    const { name, port, baudRate, format } = this._draft;
    const request = furnaceRequestSchema.safeParse({
      name,
      port: port.trim() || null,
      baudRate,
      format: format.trim() || "auto",
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

function draftOf(furnace: Furnace | null): Draft {
  return furnace ? { ...furnace, port: furnace.port ?? "" } : emptyDraft;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-line-form": KioskLineForm;
  }
}
