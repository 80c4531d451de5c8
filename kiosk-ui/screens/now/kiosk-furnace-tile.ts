import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-readout";
import { act } from "#kiosk-ui/components/kiosk-action";
import { allFaults, type ReadingTrust, readingTrust } from "#kiosk-ui/components/reading-trust";
import { thermocoupleWords } from "#kiosk-ui/components/thermocouple-words";
import { keptTogether, type TemperatureUnit } from "#kiosk-ui/format";
import {
  type BakeInView,
  type FinishedBake,
  type HeardFurnace,
  STALE_AFTER_SECONDS,
} from "#kiosk-ui/kiosk-state";
import { faultStatement } from "#kiosk-ui/screens/now/bake-sentence";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { SensorFault } from "#shared/sensor-fault";

/** One furnace of the lab: how hot it is, whether it is heard, and what can be done with it. */
@customElement("kiosk-furnace-tile")
export class KioskFurnaceTile extends LitElement {
  /** The furnace and its newest reading. */
  @property({ attribute: false }) furnace: HeardFurnace | null = null;
  /** Age of that reading by the page's own clock, s. */
  @property({ attribute: false }) ageSeconds: number | null = null;
  /** The bake that is open on it. */
  @property({ attribute: false }) openBake: BakeInView | null = null;
  /** The bake that waits for a look. */
  @property({ attribute: false }) finishedBake: FinishedBake | null = null;
  /** The scale of the temperature. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      :host {
        display: block;
        min-width: 0;
      }
      article {
        display: flex;
        flex-direction: column;
        gap: var(--space-3);
        height: 100%;
        padding: var(--space-5);
      }
      .middle {
        container-type: size;
        flex: 1 1 auto;
        display: flex;
        flex-direction: column;
        justify-content: center;
        min-height: 140px;
      }
      kiosk-readout {
        --readout-size: max(105px, min(42cqw, 62cqh, 230px));
      }
      .link {
        margin-top: 2px;
      }
      .fault {
        color: var(--color-fault);
        font-weight: var(--weight-strong);
      }
      .needs {
        margin-top: var(--space-1);
        padding-left: var(--space-3);
        border-left: 8px solid var(--color-person);
      }
      /* The bottom row says what to look at first where there is no room for it here. */
      @media (max-height: 700px) and (min-width: 701px) {
        .look {
          display: none;
        }
        .middle {
          min-height: 132px;
        }
      }
      .needs strong {
        font-weight: var(--weight-strong);
      }
      .mend {
        font-size: var(--text-label);
      }
      .state {
        font-size: var(--text-lead);
        font-weight: var(--weight-medium);
        overflow-wrap: anywhere;
      }
      .demonstration {
        color: var(--color-ink-soft);
        font-size: var(--text-label);
        font-weight: var(--weight-text);
      }
      button {
        width: 100%;
        font-size: var(--text-sentence);
      }
    `,
  ];

  protected override render() {
    const { furnace } = this;
    if (!furnace) return nothing;
    const faults = allFaults(this.openBake?.sensorFaults ?? [], furnace.sensorFaults);
    const trust = readingTrust(faults);
    return html`<article class="sheet" aria-label=${furnace.furnace.name}>
      <header>
        <h1>${furnace.furnace.name}</h1>
        ${this.#renderLine(furnace, faults)}
      </header>
      <div class="middle">
        <kiosk-readout
          .celsius=${furnace.latest?.sample.celsius ?? null}
          .unit=${this.unit}
          .ageSeconds=${this.ageSeconds}
          .trust=${trust}
        ></kiosk-readout>
      </div>
      <p class="state">${this.#state(trust)}</p>
      ${this.#renderButton(furnace.furnace.id)}
    </article>`;
  }

  /** What the line does; while it is heard, what is wrong with the thermocouple. */
  #renderLine({ link }: HeardFurnace, faults: readonly SensorFault[]) {
    const isHeard = link.kind === "listening";
    const fault = isHeard ? faultStatement(faults, this.unit) : null;
    if (fault)
      return html`<p class="needs label">
        <strong>${keptTogether(fault.text)}</strong> <span class="look soft">${fault.detail}</span>
      </p>`;
    return html`<p class="link label ${isHeard ? "soft" : "fault"}">${words.link.kinds[link.kind]}</p>
      ${link.message && !isHeard ? html`<p class="mend soft">${link.message}</p>` : nothing}`;
  }

  #state({ kind }: ReadingTrust) {
    if (this.finishedBake) return words.tiles.finished;
    const { openBake } = this;
    const isHeard = this.ageSeconds !== null && this.ageSeconds <= STALE_AFTER_SECONDS;
    if (!openBake && kind === "missing") return thermocoupleWords.missingTile;
    if (!openBake) return isHeard ? words.tiles.atRest : words.tiles.unheard;
    const plan = openBake.plan?.plan.name;
    if (!plan) return words.tiles.runningWithoutPlan;
    return openBake.bake.state === "waiting" ? words.tiles.waiting(plan) : words.tiles.running(plan);
  }

  #renderButton(furnaceId: string) {
    if (this.openBake || this.finishedBake)
      return html`<button class="act" @click=${() => act(this, { kind: "show-furnace", furnaceId })}>
        ${words.tiles.look}
      </button>`;
    return html`<button class="act main" @click=${() => act(this, { kind: "prepare", furnaceId, planId: null })}>
      ${words.tiles.begin}
    </button>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-furnace-tile": KioskFurnaceTile;
  }
}
