import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import { countText, type TemperatureUnit, timeOfDayText } from "#kiosk-ui/format";
import { type HeardFurnace, initialKioskState, type KioskState } from "#kiosk-ui/kiosk-state";
import type { ConnectDesk, KioskConnect } from "#kiosk-ui/screens/upkeep/connect/kiosk-connect";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { Furnace, LinkStatus } from "#shared/furnace";

/**
 * The place Upkeep: every furnace's line in plain statements, and the way to connect or change one.
 * @slot - the way back to what runs, in the bottom row
 */
@customElement("kiosk-upkeep")
export class KioskUpkeep extends LitElement {
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon, for connecting a furnace. */
  @property({ attribute: false }) client: ConnectDesk | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @query("kiosk-connect") private _connect: KioskConnect | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    css`
      kiosk-connect {
        display: contents;
      }
      .cautions {
        align-self: center;
      }
      ul {
        display: grid;
        gap: var(--space-3);
        align-content: start;
        min-height: 0;
        overflow-y: auto;
      }
      li {
        display: grid;
        grid-template-columns: minmax(150px, 1fr) minmax(0, 4fr) auto;
        align-items: center;
        gap: var(--space-4);
        padding: var(--space-3) var(--space-4);
      }
      dl {
        display: grid;
        grid-template-columns: auto minmax(0, 1fr);
        gap: 2px var(--space-3);
        font-size: var(--text-label);
      }
      dt {
        color: var(--color-ink-soft);
      }
      dd {
        overflow-wrap: anywhere;
      }
      .fault {
        color: var(--color-fault);
        font-weight: var(--weight-strong);
      }
      code {
        font-family: ui-monospace, monospace;
        font-size: 0.92em;
      }
      .none {
        padding: var(--space-5);
      }
      @media (max-width: 700px) {
        li {
          grid-template-columns: minmax(0, 1fr);
        }
      }
    `,
  ];

  protected override render() {
    const { furnaces } = this.state;
    return html`
      <h1>${words.upkeep.title}</h1>
      ${
        furnaces.length === 0
          ? html`<div class="sheet none"><p>${words.upkeep.none}</p></div>`
          : html`<ul>
            ${furnaces.map((furnace) => this.#renderFurnace(furnace))}
          </ul>`
      }
      <kiosk-foot>
        <slot><p class="cautions label soft">${words.upkeep.mains} ${words.upkeep.recorder}</p></slot>
        <button slot="actions" class="act" @click=${() => this.#change(null)}>
          ${words.upkeep.add}
        </button>
      </kiosk-foot>
      <kiosk-connect .client=${this.client} .state=${this.state} .unit=${this.unit}></kiosk-connect>
    `;
  }

  #renderFurnace({ furnace, link }: HeardFurnace) {
    const isHeard = link.kind === "listening";
    const refused = [
      words.upkeep.accepted(countText(link.acceptedLines)),
      words.upkeep.refused(countText(link.refusedLines)),
      ...(link.overlongLines > 0 ? [words.upkeep.overlong(countText(link.overlongLines))] : []),
    ].join(", ");
    return html`<li class="sheet">
      <div>
        <h2>${furnace.name}</h2>
        ${furnace.isDemonstration ? html`<p class="caption soft">${words.upkeep.demonstration}</p>` : nothing}
      </div>
      <dl>
        <dt>${words.upkeep.state}</dt>
        <dd class=${isHeard ? "" : "fault"}>
          ${words.link.kinds[link.kind]}
          ${words.upkeep.since(timeOfDayText(link.sinceEpochMilliseconds))}${link.message ? html`. ${link.message}` : nothing}
        </dd>
        <dt>${words.upkeep.port}</dt>
        <dd>${furnace.isDemonstration ? words.upkeep.simulated : (furnace.port ?? words.upkeep.noPort)}</dd>
        ${furnace.isDemonstration ? nothing : this.#renderFormat(furnace, link)}
        <dt>${words.upkeep.lines}</dt>
        <dd>${refused}</dd>
        ${
          link.lastRefusedLine === null
            ? nothing
            : html`<dt>${words.upkeep.lastRefused}</dt>
              <dd><code>${link.lastRefusedLine}</code></dd>`
        }
      </dl>
      <button @click=${() => this.#change(furnace)}>${words.upkeep.change}</button>
    </li>`;
  }

  #renderFormat({ format }: Furnace, { format: heard }: LinkStatus) {
    return html`<dt>${words.upkeep.format}</dt>
      <dd>
        ${format}${heard && heard !== format ? html`, ${words.upkeep.formatHeard(heard)}` : nothing}
      </dd>`;
  }

  /** The flow is fetched when it is first wanted. */
  async #change(furnace: Furnace | null) {
    await import("#kiosk-ui/screens/upkeep/connect/kiosk-connect");
    await this._connect?.open(furnace);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-upkeep": KioskUpkeep;
  }
}
