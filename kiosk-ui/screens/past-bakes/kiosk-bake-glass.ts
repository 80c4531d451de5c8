import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import type { TemperatureUnit } from "#kiosk-ui/format";
import type { Asked } from "#kiosk-ui/screens/past-bakes/bake-library";
import {
  glassGaps,
  glassLimits,
  glassReading,
  glassRows,
  glassWords as words,
} from "#kiosk-ui/screens/past-bakes/glass-words";
import { tableStyles } from "#kiosk-ui/screens/past-bakes/past-bakes-styles";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import type { BakeGlass } from "#shared/glass";

/** What a bake's trace alone would have done to a well-built layer, by the chamber and by the ware. */
@customElement("kiosk-bake-glass")
export class KioskBakeGlass extends LitElement {
  /** What the daemon reckoned, on its way, here or refused with a line. */
  @property({ attribute: false }) glass: Asked<BakeGlass> = { kind: "loading" };
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    tableStyles,
    css`
      :host {
        display: block;
      }
      .reading {
        margin-bottom: var(--space-3);
        font-size: var(--text-body);
        font-weight: var(--weight-strong);
        text-wrap: balance;
      }
      .gaps {
        margin-top: var(--space-3);
      }
      .limits {
        margin-top: var(--space-3);
      }
    `,
  ];

  protected override render() {
    const { glass } = this;
    return html`<h2>${words.title}</h2>
      ${
        glass.kind === "ready"
          ? this.#renderGlass(glass.value)
          : html`<p class="soft label" role="status">${glass.kind === "failed" ? glass.message : words.loading}</p>`
      }`;
  }

  #renderGlass(glass: BakeGlass) {
    const reading = glassReading(glass);
    const gaps = glassGaps(glass);
    return html`
      ${reading ? html`<p class="reading">${reading}</p>` : nothing}
      <div class="wide">
        <table>
          <thead>
            <tr>
              <th scope="col">${words.quantity}</th>
              <th scope="col">${words.chamber}</th>
              ${glass.ware ? html`<th scope="col">${words.ware}</th>` : nothing}
            </tr>
          </thead>
          <tbody>
            ${glassRows(glass, this.unit).map(
              ({ name, chamber, ware }) => html`<tr>
                <th scope="row">${name}</th>
                <td>${chamber}</td>
                ${ware === null ? nothing : html`<td>${ware}</td>`}
              </tr>`,
            )}
          </tbody>
        </table>
      </div>
      ${gaps.map((gap) => html`<p class="gaps label">${gap}</p>`)}
      <p class="limits caption soft">${glassLimits(glass)}</p>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-bake-glass": KioskBakeGlass;
  }
}
