import { css, html, LitElement, nothing } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-scroll";
import type { ListedPort } from "#kiosk-ui/kiosk-client";
import { connectStyles } from "#kiosk-ui/screens/upkeep/connect/connect-styles";
import { connectWords } from "#kiosk-ui/screens/upkeep/connect/connect-words";
import { portNames, typedPort } from "#kiosk-ui/screens/upkeep/connect/port-names";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Furnace } from "#shared/furnace";

const words = connectWords.port;

/**
 * The first question: the ports of the daemon's machine, and an address over the network.
 * @fires port-chosen {CustomEvent<string | null>} the port; null for none
 * @fires ports-wanted {CustomEvent} look for ports again
 */
@customElement("kiosk-connect-port")
export class KioskConnectPort extends LitElement {
  /** The ports found; null while they are looked for. */
  @property({ attribute: false }) ports: readonly ListedPort[] | null = null;
  /** Why they could not be looked for; empty when they could. */
  @property() refusal = "";
  /** The other furnaces, for whose port is whose. */
  @property({ attribute: false }) others: readonly Furnace[] = [];
  /** The port as it is now, of a furnace that is there already. */
  @property({ attribute: false }) current: string | null = null;
  /** Whether the furnace may be left without a line. */
  @property({ type: Boolean }) mayBeNone = false;

  @state() private _isRefused = false;

  static override styles = [
    baseStyles,
    touchStyles,
    connectStyles,
    css`
      strong {
        color: var(--color-ink);
      }
      .none {
        padding: var(--space-4);
      }
      form {
        display: grid;
        gap: var(--space-2);
      }
    `,
  ];

  protected override render() {
    return html`
      <kiosk-scroll>
        <div class="rows">${this.#renderPorts()} ${this.mayBeNone ? this.#renderNoLine() : nothing}</div>
      </kiosk-scroll>
      <aside>
        <form @submit=${this.#takeTyped} novalidate>
          <label for="network">${words.network}</label>
          <input
            id="network"
            autocomplete="off"
            autocapitalize="off"
            spellcheck="false"
            placeholder=${words.networkHint}
            maxlength="300"
          />
          <p class="caption ${this._isRefused ? "refusal" : "soft"}" role="status">
            ${this._isRefused ? words.networkRefused : words.networkHelp}
          </p>
          <button type="submit">${words.listenThere}</button>
        </form>
        <div class="ways">
          <button @click=${() => this.dispatchEvent(new CustomEvent("ports-wanted"))}>${words.lookAgain}</button>
        </div>
      </aside>
    `;
  }

  #renderPorts() {
    const { ports } = this;
    if (this.refusal) return html`<p class="sheet said" role="alert">${this.refusal}</p>`;
    if (ports === null) return html`<p class="sheet none soft" role="status">${words.looking}</p>`;
    if (ports.length === 0)
      return html`<div class="sheet none">
        <h3>${words.none}</h3>
        <p class="soft">${words.noneHelp}</p>
      </div>`;
    const names = portNames(ports.map(({ stableName }) => stableName));
    return ports.map((port) => this.#renderPort(port, names.get(port.stableName) ?? port.stableName));
  }

  #renderPort({ stableName, device, note }: ListedPort, name: string) {
    const [kind, ...hindrances] = (note ?? "").split("; ");
    const whole = stableName === device ? stableName : `${stableName}, now ${device}`;
    return html`<button
      aria-pressed=${stableName === this.current}
      @click=${() => this.#choose(stableName)}
    >
      <span>
        <span class="big">${name}</span>
        ${hindrances.map((hindrance) => html`<small><strong>${hindrance}</strong></small>`)}
        <small>${kind ? `${kind} · ` : nothing}${whole}</small>
      </span>
      ${this.#renderUse(stableName, device)}
    </button>`;
  }

  #renderNoLine() {
    return html`<button aria-pressed=${this.current === null} @click=${() => this.#choose(null)}>
      <span><span class="big">${words.noLine}</span><small>${words.noLineHelp}</small></span>
    </button>`;
  }

  #renderUse(stableName: string, device: string) {
    const users = this.others.filter(({ port }) => port === stableName || port === device);
    if (users.length > 0)
      return html`<span class="note">${words.usedBy(users.map(({ name }) => name).join(", "))}</span>`;
    return stableName === this.current ? html`<span class="note">${words.current}</span>` : nothing;
  }

  readonly #takeTyped = (event: Event) => {
    event.preventDefault();
    const port = typedPort(this.renderRoot.querySelector("input")?.value ?? "");
    this._isRefused = port === null;
    if (port !== null) this.#choose(port);
  };

  #choose(port: string | null) {
    this.dispatchEvent(new CustomEvent("port-chosen", { detail: port }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-connect-port": KioskConnectPort;
  }
}
