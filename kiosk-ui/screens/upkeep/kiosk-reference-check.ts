import { css, html, LitElement, nothing } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { uncorrectedCelsius } from "#core/thermocouple/correction";
import { type CheckOutcome, type ReferencePoint, referenceCheck } from "#core/upkeep/accuracy-check";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import { type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import {
  type HeardFurnace,
  initialKioskState,
  type KioskState,
  readingAgeSeconds,
  STALE_AFTER_SECONDS,
} from "#kiosk-ui/kiosk-state";
import "#kiosk-ui/screens/upkeep/kiosk-number-field";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { outcomeTemplate } from "#kiosk-ui/screens/upkeep/outcome-text";
import { signedDifference } from "#kiosk-ui/screens/upkeep/probe-text";
import { upkeepStyles } from "#kiosk-ui/screens/upkeep/upkeep-styles";
import { upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { CheckRequest } from "#shared/check";

const words = checkWords.reference;
const MOST_POINTS = 20;

/** A point as far as it was entered. */
interface DraftPoint {
  readonly readingCelsius: number | null;
  readonly referenceCelsius: number | null;
  readonly referenceCorrectionKelvin: number;
  readonly instrumentCorrectionKelvin: number;
}

/** What holds for every point. */
interface Settings {
  readonly referenceExpandedKelvin: number;
  readonly referenceCoverageFactor: number;
  readonly positionKelvin: number;
  readonly limitKelvin: number;
}

/**
 * The probe beside a reference thermocouple at one or more temperatures, in the manner of a system accuracy
 * test: its corrections applied, the difference at each point, the worst, and the verdict.
 * @slot - the ways back to what runs
 * @fires check-made {CustomEvent<CheckRequest>} to be kept by the owner
 * @fires closed {CustomEvent} back to the furnace's page
 */
@customElement("kiosk-reference-check")
export class KioskReferenceCheck extends LitElement {
  /** The furnace whose probe is checked. */
  @property({ attribute: false }) heard: HeardFurnace | null = null;
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** True while it is being saved. */
  @property({ type: Boolean }) isBusy = false;
  /** Why it was not saved; empty when it was. */
  @property() refusal = "";

  @state() private _points: readonly DraftPoint[] = [];
  @state() private _settings: Settings = {
    referenceExpandedKelvin: 1.5,
    referenceCoverageFactor: 2,
    positionKelvin: 1,
    limitKelvin: 5,
  };

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    upkeepStyles,
    css`
      .points {
        display: grid;
        grid-template-columns: minmax(0, 1.1fr) minmax(0, 1.1fr) minmax(0, 0.9fr) minmax(0, 0.9fr) minmax(70px, 0.7fr) auto;
        gap: var(--space-2);
        align-items: center;
      }
      .points .heading {
        align-self: end;
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
        line-height: 1.15;
      }
      .points .right {
        text-align: right;
      }
      .difference {
        font-weight: var(--weight-strong);
        text-align: right;
        white-space: nowrap;
      }
      @media (max-width: 700px) {
        .points {
          grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
        }
        .points .heading {
          display: none;
        }
      }
    `,
  ];

  protected override render() {
    const { heard } = this;
    if (!heard) return nothing;
    const outcome = this.#outcome(heard);
    return html`
      <div class="head">
        <h1>${words.title(heard.furnace.name)}</h1>
        <p class="soft">${words.help}</p>
      </div>
      <kiosk-scroll label=${words.title(heard.furnace.name)}>
        <div class="stack">
          <div class="sheet stack">
            ${this.refusal ? html`<p class="refusal" role="alert">${this.refusal}</p>` : nothing}
            ${outcome ? outcomeTemplate(outcome, this.unit) : nothing}
            ${!outcome && this._points.length > 0 ? html`<p class="soft">${words.incomplete}</p>` : nothing}
            ${this._points.length === 0 ? html`<p>${words.none}</p>` : this.#renderPoints()} ${this.#renderAdding()}
          </div>
          <div class="sheet stack">
            ${this.#renderSettings()}
          </div>
        </div>
      </kiosk-scroll>
      <kiosk-foot>
        <slot></slot>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>
          ${upkeepWords.back}
        </button>
        <button slot="actions" class="main" ?disabled=${this.isBusy || !outcome} @click=${this.#save}>
          ${this.isBusy ? checkWords.saving : upkeepWords.save}
        </button>
      </kiosk-foot>
    `;
  }

  #renderPoints() {
    const headings = [
      words.reading,
      words.reference,
      words.referenceCorrection,
      words.instrumentCorrection,
      words.difference,
    ];
    return html`<div class="points">
      ${headings.map(
        (
          heading,
        ) => html`<p class="heading ${heading === words.difference ? "right" : ""}" aria-hidden="true">
          ${heading}
        </p>`,
      )}
      <p class="heading"></p>
      ${this._points.map((point, index) => this.#renderPoint(point, index))}
    </div>`;
  }

  #renderPoint(point: DraftPoint, index: number) {
    const whole = wholePoint(point);
    const difference = whole ? signedDifference(differenceOf(whole), this.unit) : "–";
    return html`
      ${this.#renderCell(point, index, "readingCelsius", words.reading)}
      ${this.#renderCell(point, index, "referenceCelsius", words.reference)}
      ${this.#renderCell(point, index, "referenceCorrectionKelvin", words.referenceCorrection)}
      ${this.#renderCell(point, index, "instrumentCorrectionKelvin", words.instrumentCorrection)}
      <p class="difference">${difference}</p>
      <button aria-label=${words.removePoint(index + 1)} @click=${() => this.#remove(index)}>${words.remove}</button>
    `;
  }

  #renderCell(point: DraftPoint, index: number, key: keyof DraftPoint, label: string) {
    const isTemperature = key.endsWith("Celsius");
    return html`<kiosk-number-field
      isBrief
      .unsaid=${words.enter}
      .label=${`${words.point(index + 1)}: ${label}`}
      .kind=${isTemperature ? "temperature" : "difference"}
      .unit=${this.unit}
      .value=${point[key]}
      .from=${isTemperature ? -50 : -100}
      .to=${isTemperature ? 1800 : 100}
      @number-changed=${(event: CustomEvent<number>) => this.#change(index, { [key]: event.detail })}
    ></kiosk-number-field>`;
  }

  #renderAdding() {
    const reading = this.#readingNow();
    const isFull = this._points.length >= MOST_POINTS;
    return html`<div class="row">
      <button class="act" ?disabled=${isFull || reading === null} @click=${() => this.#add(reading)}>
        ${reading === null ? words.addNoReading : words.addNow(temperatureWithUnit(reading, this.unit, 1))}
      </button>
      <button class="act" ?disabled=${isFull} @click=${() => this.#add(null)}>${words.addEmpty}</button>
    </div>`;
  }

  #renderSettings() {
    return html`<div class="fields">
      ${this.#renderSetting("referenceExpandedKelvin", words.expanded, 0.1, 0, 100)}
      ${this.#renderSetting("referenceCoverageFactor", words.factor, 1, 1, 4)}
      ${this.#renderSetting("positionKelvin", words.position, 0.5, 0, 100)}
      ${this.#renderSetting("limitKelvin", words.limit, 0.5, 0.1, 100)}
    </div>`;
  }

  #renderSetting(key: keyof Settings, label: string, step: number, from: number, to: number) {
    return html`<kiosk-number-field
      .label=${label}
      .kind=${key === "referenceCoverageFactor" ? "bare" : "difference"}
      .unit=${this.unit}
      .value=${this._settings[key]}
      .step=${step}
      .from=${from}
      .to=${to}
      .decimals=${key === "referenceCoverageFactor" ? 2 : 1}
      @number-changed=${(event: CustomEvent<number>) => {
        this._settings = { ...this._settings, [key]: event.detail };
      }}
    ></kiosk-number-field>`;
  }

  /** The furnace's newest reading without its correction, °C; null where it is not fresh. */
  #readingNow(): number | null {
    const { heard } = this;
    const age = heard && readingAgeSeconds(this.state, heard);
    if (!heard?.latest || age === null || age > STALE_AFTER_SECONDS) return null;
    return uncorrectedCelsius(heard.latest.sample.celsius, heard.furnace.probe.correction?.points ?? []);
  }

  #outcome(heard: HeardFurnace): CheckOutcome | null {
    const points = this._points.map(wholePoint).filter((point) => point !== null);
    if (points.length === 0 || points.length < this._points.length) return null;
    return referenceCheck({ points, ...this._settings, probe: heard.furnace.probe });
  }

  #add(readingCelsius: number | null) {
    const before = this._points.at(-1);
    const point: DraftPoint = {
      readingCelsius: readingCelsius === null ? null : Math.round(readingCelsius * 10) / 10,
      referenceCelsius: null,
      referenceCorrectionKelvin: before?.referenceCorrectionKelvin ?? 0,
      instrumentCorrectionKelvin: before?.instrumentCorrectionKelvin ?? 0,
    };
    this._points = [...this._points, point];
  }

  #change(index: number, change: Partial<DraftPoint>) {
    this._points = this._points.map((point, place) => (place === index ? { ...point, ...change } : point));
  }

  #remove(index: number) {
    this._points = this._points.filter((_, place) => place !== index);
  }

  readonly #save = () => {
    const points = this._points.map(wholePoint).filter((point) => point !== null);
    const request: CheckRequest = { kind: "reference", points, ...this._settings };
    this.dispatchEvent(new CustomEvent("check-made", { detail: request }));
  };
}

function wholePoint(point: DraftPoint): ReferencePoint | null {
  const { readingCelsius, referenceCelsius } = point;
  return readingCelsius === null || referenceCelsius === null
    ? null
    : { ...point, readingCelsius, referenceCelsius };
}

function differenceOf(point: ReferencePoint): number {
  return (
    point.readingCelsius -
    point.referenceCelsius -
    point.referenceCorrectionKelvin -
    point.instrumentCorrectionKelvin
  );
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-reference-check": KioskReferenceCheck;
  }
}
