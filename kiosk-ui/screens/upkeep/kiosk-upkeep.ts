import { css, html, LitElement, nothing } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/screens/upkeep/kiosk-line-form";
import { act } from "#kiosk-ui/components/kiosk-action";
import { countText, timeOfDayText } from "#kiosk-ui/format";
import type { ListedPort } from "#kiosk-ui/kiosk-client";
import { type HeardFurnace, initialKioskState, type KioskState } from "#kiosk-ui/kiosk-state";
import type { KioskLineForm } from "#kiosk-ui/screens/upkeep/kiosk-line-form";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { Furnace, LinkStatus } from "#shared/furnace";
import { UNKNOWN_PROBE } from "#shared/probe";

/**
 * The place Upkeep: every furnace's line in plain statements, and the form that changes it.
 * @slot - the way back to what runs, in the bottom row
 * @fires ports-wanted {CustomEvent} the list of ports should be fetched
 */
@customElement("kiosk-upkeep")
export class KioskUpkeep extends LitElement {
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The ports of the daemon's machine; null while they are being fetched. */
  @property({ attribute: false }) ports: readonly ListedPort[] | null = null;

  @state() private _changing: Furnace | null = null;
  @query("kiosk-line-form") private _form: KioskLineForm | undefined;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    css`
      kiosk-line-form {
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
        <button slot="actions" class="act" @click=${() => this.#change(newFurnace(furnaces))}>
          ${words.upkeep.add}
        </button>
      </kiosk-foot>
      <kiosk-line-form .furnace=${this._changing} .ports=${this.ports}></kiosk-line-form>
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

  async #change(furnace: Furnace) {
    this._changing = furnace;
    this.dispatchEvent(new CustomEvent("ports-wanted"));
    await this.updateComplete;
    this._form?.open((request) => act(this, { kind: "change-furnace", furnaceId: furnace.id, request }));
  }
}

/** A furnace that is not there yet, under the first free number. */
function newFurnace(furnaces: readonly HeardFurnace[]): Furnace {
  const taken = new Set(furnaces.map(({ furnace }) => furnace.id));
  let number = 1;
  while (taken.has(`furnace-${number}`)) number += 1;
  return {
    id: `furnace-${number}`,
    name: words.upkeep.newName(number),
    port: null,
    baudRate: 9600,
    framing: "8N1",
    format: "auto",
    probe: UNKNOWN_PROBE,
    checkDueEpochMilliseconds: null,
    isDemonstration: false,
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-upkeep": KioskUpkeep;
  }
}
