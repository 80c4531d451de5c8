import { css, html, LitElement, nothing } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-hold-button";
import "#kiosk-ui/components/kiosk-scroll";
import {
  dayText,
  durationText,
  rateText,
  type TemperatureUnit,
  temperatureWithUnit,
  timeOfDayText,
} from "#kiosk-ui/format";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { correctionLines } from "#kiosk-ui/screens/upkeep/correction-text";
import { outcomeTemplate } from "#kiosk-ui/screens/upkeep/outcome-text";
import {
  checkDayText,
  checkName,
  daysAgoText,
  probeBasisText,
  signedDifference,
} from "#kiosk-ui/screens/upkeep/probe-text";
import { upkeepStyles } from "#kiosk-ui/screens/upkeep/upkeep-styles";
import { upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Check } from "#shared/check";
import type { Furnace } from "#shared/furnace";

const words = checkWords.result;

/**
 * A check as kept: what it came to, and, apart from that, the act that makes it the probe's correction.
 * @slot - the ways back to what runs
 * @fires accepted {CustomEvent<string | null>} it shall correct the probe; by whom
 * @fires withdrawn {CustomEvent<string | null>} it shall correct the probe no longer; by whom
 * @fires closed {CustomEvent} back to the furnace's page
 */
@customElement("kiosk-check-result")
export class KioskCheckResult extends LitElement {
  /** The check. */
  @property({ attribute: false }) check: Check | null = null;
  /** The furnace whose probe was checked. */
  @property({ attribute: false }) furnace: Furnace | null = null;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** True while something is being saved. */
  @property({ type: Boolean }) isBusy = false;
  /** Why the last thing was not saved; empty when it was. */
  @property() refusal = "";
  /** The wall clock, ms. */
  @property({ type: Number }) nowEpochMilliseconds = Date.now();

  @state() private _by = "";

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    upkeepStyles,
    css`
      .columns {
        display: grid;
        grid-template-columns: minmax(0, 1.25fr) minmax(0, 1fr);
        gap: var(--space-3);
        align-items: start;
      }
      label {
        color: var(--color-ink-soft);
        font-size: var(--text-label);
      }
      ul {
        padding-left: var(--space-3);
      }
      .deed {
        display: grid;
        gap: var(--space-3);
        align-items: end;
      }
      @media (max-height: 700px) and (min-width: 801px) {
        .deed {
          grid-template-columns: minmax(0, 1fr) minmax(0, 1.3fr);
        }
        .deed input {
          min-height: var(--touch-target-act);
        }
      }
      @media (max-width: 800px) {
        .columns {
          grid-template-columns: minmax(0, 1fr);
        }
      }
    `,
  ];

  protected override render() {
    const { check, furnace } = this;
    if (!check || !furnace) return nothing;
    const at = check.checkedAtEpochMilliseconds;
    return html`
      <div class="head">
        <h1>${capitalised(checkName(check))}</h1>
        <p class="soft">
          ${furnace.name} · ${words.checkedAt(dayText(at), timeOfDayText(at))} ·
          ${daysAgoText(at, this.nowEpochMilliseconds)}${check.request.by ? checkWords.list.by(check.request.by) : ""}
        </p>
      </div>
      <kiosk-scroll label=${checkName(check)}>
        <div class="columns">
          <div class="sheet stack">
            ${outcomeTemplate(check.result, this.unit, furnace.probe.correction?.checkId === check.id)} ${this.#renderPoints(check)}
            ${this.#circumstances(check).map((line) => html`<p class="label soft">${line}</p>`)}
          </div>
          <div class="sheet stack">${this.#renderCorrection(check, furnace)}</div>
        </div>
      </kiosk-scroll>
      <kiosk-foot>
        <slot></slot>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>
          ${upkeepWords.back}
        </button>
      </kiosk-foot>
    `;
  }

  #renderPoints({ result }: Check) {
    return html`<table>
      <thead>
        <tr>
          <th scope="col">${words.reading}</th>
          <th scope="col" class="number">${words.trueTemperature}</th>
          <th scope="col" class="number">${words.difference}</th>
        </tr>
      </thead>
      <tbody>
        ${result.points.map(
          ({ readingCelsius, trueCelsius, differenceKelvin }) => html`<tr
            class=${differenceKelvin === result.worstDifferenceKelvin && result.points.length > 1 ? "total" : ""}
          >
            <td>${temperatureWithUnit(readingCelsius, this.unit, 1)}</td>
            <td class="number">${temperatureWithUnit(trueCelsius, this.unit, 1)}</td>
            <td class="number">${signedDifference(differenceKelvin, this.unit)}</td>
          </tr>`,
        )}
      </tbody>
    </table>`;
  }

  /** How the reading came about. */
  #circumstances({ request, result }: Check): string[] {
    const note = request.note ? [words.note(request.note)] : [];
    if (request.kind === "reference") return note;
    const { plateau } = result;
    const { reading } = request;
    const atmosphere = capitalised(words.inAtmosphere(checkWords.wire.atmospheres[request.atmosphere]));
    const how = plateau
      ? words.plateau(
          temperatureWithUnit(plateau.celsius, this.unit, 1),
          durationText(plateau.toSeconds - plateau.fromSeconds),
          rateText(plateau.climbKelvinPerMinute, this.unit),
        )
      : reading.kind === "by-hand"
        ? words.byHand(rateText(reading.kelvinPerMinute, this.unit))
        : words.pressed;
    return [`${atmosphere}. ${how}`, ...note];
  }

  #renderCorrection(check: Check, furnace: Furnace) {
    const { correction } = furnace.probe;
    if (correction?.checkId === check.id) return this.#renderInForce(check, furnace);
    const hindrance = hindranceOf(check);
    if (hindrance) return html`<h2>${words.acceptTitle}</h2><p>${hindrance}</p>`;
    const [first, ...others] = correctionLines(
      check.result.correction,
      (celsius) => temperatureWithUnit(celsius, this.unit),
      this.unit,
    );
    return html`
      <h2>${words.acceptTitle}</h2>
      ${check.accepted ? html`<p class="label soft">${this.#acceptedText(check)} ${words.superseded}</p>` : nothing}
      <p><strong>${first}</strong></p>
      ${others.length > 0 ? html`<ul>${others.map((line) => html`<li>${line}</li>`)}</ul>` : nothing}
      ${correction ? html`<p>${words.insteadOf(this.#amountNow(furnace))}</p>` : nothing}
      <p class="label soft">${words.pastStay}</p>
      ${this.#renderDeed("accepted", words.accept, words.question, words.yes)}
    `;
  }

  #renderInForce(check: Check, furnace: Furnace) {
    return html`
      <h2>${words.inForce}</h2>
      <p>${this.#acceptedText(check)}</p>
      <p>${words.withdrawHelp(this.#amountNow(furnace))}</p>
      ${this.#renderDeed("withdrawn", words.withdraw, words.withdrawQuestion, words.withdrawYes)}
    `;
  }

  /** Who does it, and the button that does it. */
  #renderDeed(what: "accepted" | "withdrawn", label: string, question: string, yes: string) {
    return html`<div class="deed">
        <div>
          <label for="by">${words.by}</label>
          <input
            id="by"
            autocomplete="off"
            maxlength="40"
            .value=${this._by}
            @input=${(event: Event) => {
              this._by = (event.target as HTMLInputElement).value;
            }}
          />
        </div>
        <kiosk-hold-button
          .label=${label}
          .question=${question}
          .yes=${yes}
          .no=${words.no}
          ?disabled=${this.isBusy}
          @confirmed=${() => this.#tell(what)}
        ></kiosk-hold-button>
      </div>
      ${this.refusal ? html`<p class="refusal" role="alert">${this.refusal}</p>` : nothing}`;
  }

  #acceptedText({ accepted }: Check): string {
    if (!accepted) return "";
    const { atEpochMilliseconds: at, by } = accepted;
    const now = this.nowEpochMilliseconds;
    return `${words.isAccepted(checkDayText(at, now), daysAgoText(at, now))}${by ? checkWords.list.by(by) : ""}.`;
  }

  /** What is added to readings now, in words. */
  #amountNow({ probe }: Furnace): string {
    const points = probe.correction?.points ?? [];
    const [only] = points;
    return only && points.length === 1
      ? signedDifference(only.correctionKelvin, this.unit)
      : probeBasisText(probe, [], this.nowEpochMilliseconds, this.unit);
  }

  #tell(what: "accepted" | "withdrawn") {
    this.dispatchEvent(new CustomEvent(what, { detail: this._by.trim() || null }));
  }
}

/** Why it cannot become a correction; null when it can. */
function hindranceOf({ request, result }: Check): string | null {
  if (request.kind === "melting-wire" && request.metal === "silver" && request.atmosphere === "air")
    return words.noCorrection;
  return result.verdict === "cannot-tell" ? words.notSureEnough : null;
}

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-check-result": KioskCheckResult;
  }
  interface HTMLElementEventMap {
    accepted: CustomEvent<string | null>;
    withdrawn: CustomEvent<string | null>;
  }
}
