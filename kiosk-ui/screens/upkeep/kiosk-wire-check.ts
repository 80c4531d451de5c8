import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { type CheckOutcome, wireCheck } from "#core/upkeep/accuracy-check";
import { FIXED_POINTS, SILVER_IN_AIR_KELVIN, type WireMetal } from "#core/upkeep/fixed-points";
import type { MeltPlateau } from "#core/upkeep/melt-plateau";
import type { ReadingAt } from "#core/upkeep/reading-at";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import {
  ageText,
  differenceWithUnit,
  durationText,
  rateText,
  type TemperatureUnit,
  temperatureText,
  temperatureWithUnit,
  unitSign,
} from "#kiosk-ui/format";
import {
  type BakeInView,
  type HeardFurnace,
  initialKioskState,
  type KioskState,
  openBakeOf,
  readingAgeSeconds,
  STALE_AFTER_SECONDS,
} from "#kiosk-ui/kiosk-state";
import "#kiosk-ui/screens/upkeep/kiosk-melt-chart";
import "#kiosk-ui/screens/upkeep/kiosk-number-field";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import {
  type MeltWatch,
  meltWatch,
  RIGHT_RATE,
  SLOW_BELOW_KELVIN,
  watchedPlateau,
  watchedReading,
} from "#kiosk-ui/screens/upkeep/melt-watch";
import { outcomeTemplate } from "#kiosk-ui/screens/upkeep/outcome-text";
import { upkeepStyles } from "#kiosk-ui/screens/upkeep/upkeep-styles";
import { upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { type CheckRequest, type WireReading, wireAtmosphereSchema, wireMetalSchema } from "#shared/check";

const words = checkWords.wire;
type Atmosphere = keyof typeof words.atmospheres;

/** The climb goes on to so much above the melting point, K. */
const GOES_ON_KELVIN = 25;
/** The plateau is looked for no more often than this, s. */
const PLATEAU_EVERY_SECONDS = 3;

/** Where somebody is in the check. */
type Step = "prepare" | "watch" | "result" | "by-hand";

/** A moment at which somebody pressed *Melted*. */
interface Pressed {
  readonly bakeId: number;
  readonly atSeconds: number;
  readonly reading: ReadingAt;
}

/** A plateau with its bake. */
interface FoundPlateau {
  readonly bakeId: number;
  readonly plateau: MeltPlateau;
}

/**
 * A melting wire, guided: cautions, how the furnace is to be set, then the trace near the fixed point with its
 * climb, the plateau as soon as there is one, and *Melted*. Nothing is commanded.
 * @slot - the ways back to what runs
 * @fires check-made {CustomEvent<CheckRequest>} to be kept by the owner
 * @fires closed {CustomEvent} back to the furnace's page
 */
@customElement("kiosk-wire-check")
export class KioskWireCheck extends LitElement {
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

  @state() private _step: Step = "prepare";
  @state() private _metal: WireMetal = "silver";
  @state() private _atmosphere: Atmosphere = "vacuum";
  @state() private _limitKelvin = 5;
  @state() private _wireKelvin = 0.5;
  @state() private _handCelsius = FIXED_POINTS.silver.celsius;
  @state() private _handRate = 7;
  @state() private _pressed: Pressed | null = null;
  @state() private _found: FoundPlateau | null = null;
  @state() private _source: "plateau" | "pressed" = "pressed";
  #lookedAtSeconds = Number.NEGATIVE_INFINITY;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    upkeepStyles,
    css`
      .columns {
        display: grid;
        grid-template-columns: minmax(0, 1.15fr) minmax(0, 1fr);
        gap: var(--space-3);
      }
      .row button {
        padding-inline: var(--space-2);
      }
      ol,
      .cautions {
        display: grid;
        gap: var(--space-2);
      }
      ol {
        padding-left: 1.3em;
        list-style: decimal;
      }
      .cautions li {
        padding-left: var(--space-3);
        border-left: 4px solid var(--color-line);
      }
      .cautions .needs {
        padding-left: var(--space-3);
        border-left: 8px solid var(--color-person);
        font-weight: var(--weight-strong);
      }
      .watch {
        display: grid;
        grid-template-columns: minmax(0, 1.9fr) minmax(290px, 1fr);
        gap: var(--space-4);
        min-height: 0;
      }
      .watch .sheet {
        display: grid;
        min-height: 0;
        padding: var(--space-2) var(--space-3) var(--space-2) 0;
      }
      .numbers {
        display: flex;
        flex-direction: column;
        gap: var(--space-2);
        min-width: 0;
        min-height: 0;
      }
      .pair {
        display: grid;
        grid-template-columns: 1.25fr 1fr;
        gap: var(--space-2);
      }
      .unit {
        font-size: var(--text-lead);
        color: var(--color-ink-soft);
      }
      .hint {
        flex: 1 1 auto;
        min-height: 2.5em;
        font-size: var(--text-lead);
        font-weight: var(--weight-strong);
      }
      .melted {
        flex: 0 1 150px;
        min-height: var(--touch-target-act);
        font-size: var(--text-title);
      }
      .melted small {
        display: block;
        font-size: var(--text-caption);
        font-weight: var(--weight-text);
      }
      @media (max-width: 800px) {
        .columns,
        .watch {
          grid-template-columns: minmax(0, 1fr);
        }
      }
      @media (max-width: 700px) {
        .watch .sheet {
          min-height: 300px;
        }
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>) {
    if (changed.has("state") && this._step === "watch") this.#lookForPlateau();
  }

  protected override render() {
    const { heard } = this;
    if (!heard) return nothing;
    return html`
      <div class="head">
        <h1>${words.title(heard.furnace.name)}</h1>
        <p class="soft">
          ${words.meltsAt(words.metals[this._metal], temperatureWithUnit(this.#fixedPointCelsius, this.unit, 1))}
        </p>
      </div>
      ${this.#renderStep(heard)}
      <kiosk-foot><slot></slot>${this.#renderActions()}</kiosk-foot>
    `;
  }

  #renderStep(heard: HeardFurnace) {
    switch (this._step) {
      case "prepare":
        return this.#renderPreparation();
      case "watch":
        return this.#renderWatch(heard);
      case "by-hand":
      case "result":
        return this.#renderResult(heard);
    }
  }

  #renderActions() {
    const back = html`<button slot="actions" @click=${this.#back}>${upkeepWords.back}</button>`;
    switch (this._step) {
      case "prepare":
        return html`${back}
          <button slot="actions" @click=${() => this.#go("by-hand")}>${words.byHand}</button>
          <button slot="actions" class="main" @click=${() => this.#go("watch")}>${words.watch}</button>`;
      case "watch":
        return html`${back}
          <button slot="actions" @click=${() => this.#go("by-hand")}>${words.byHand}</button>
          ${
            this._found
              ? html`<button slot="actions" class="main" @click=${() => this.#use("plateau")}>
                  ${words.usePlateau}
                </button>`
              : nothing
          }`;
      case "by-hand":
      case "result":
        return html`${back}
          <button
            slot="actions"
            class="main"
            ?disabled=${this.isBusy || this.#reading() === null}
            @click=${this.#save}
          >
            ${this.isBusy ? checkWords.saving : upkeepWords.save}
          </button>`;
    }
  }

  #renderPreparation() {
    return html`<kiosk-scroll label=${words.how}>
      <div class="columns">
        <div class="sheet stack">
          ${this.#renderChoice(words.metal, wireMetalSchema.options, words.metals, this._metal, this.#setMetal)}
          ${this.#renderChoice(
            words.atmosphere,
            wireAtmosphereSchema.options,
            words.atmospheres,
            this._atmosphere,
            (atmosphere: Atmosphere) => {
              this._atmosphere = atmosphere;
            },
          )}
          <h2>${words.how}</h2>
          <ol>${this.#steps().map((step) => html`<li>${step}</li>`)}</ol>
        </div>
        <div class="sheet stack">
          <h2>${words.first}</h2>
          <ul class="cautions">
            ${
              this.#isSilverInAir
                ? html`<li class="needs">
                    ${words.cautions.silverInAir(differenceWithUnit(SILVER_IN_AIR_KELVIN, this.unit))}
                  </li>`
                : nothing
            }
            <li>${words.cautions.place}</li>
            <li>${words.cautions[this._metal]}</li>
            <li>${words.cautions.hot}</li>
            <li>${words.cautions.mains}</li>
          </ul>
        </div>
      </div>
    </kiosk-scroll>`;
  }

  #renderChoice<Choice extends string>(
    label: string,
    choices: readonly Choice[],
    names: Readonly<Record<Choice, string>>,
    chosen: Choice,
    choose: (choice: Choice) => void,
  ) {
    return html`<div class="choice" role="group" aria-label=${label}>
      <p>${label}</p>
      <div class="row">
        ${choices.map(
          (choice) =>
            html`<button aria-pressed=${choice === chosen} @click=${() => choose(choice)}>${names[choice]}</button>`,
        )}
      </div>
    </div>`;
  }

  #steps(): readonly string[] {
    const at = (kelvin: number) =>
      temperatureWithUnit(Math.round(this.#fixedPointCelsius + kelvin), this.unit);
    return words.steps(at(-SLOW_BELOW_KELVIN), this.#rightRate(), at(GOES_ON_KELVIN));
  }

  #renderWatch(heard: HeardFurnace) {
    const bake = this.#bake();
    const watch = bake ? meltWatch(bake.samples, this.#correctionOf(bake), this.#fixedPointCelsius) : null;
    if (!bake || !watch)
      return html`<div class="state">
        <p class="sentence">${words.noBake}</p>
        <p class="soft">${words.noBakeHelp}</p>
      </div>`;
    const age = readingAgeSeconds(this.state, heard) ?? 0;
    const reading = temperatureWithUnit(watch.celsius, this.unit, 1);
    const chart = words.chart(
      upkeepWords.metalNames[this._metal],
      temperatureWithUnit(this.#fixedPointCelsius, this.unit, 1),
    );
    return html`<div class="watch">
      <div class="sheet">
        <kiosk-melt-chart
          .samples=${watch.shown}
          .fixedPointCelsius=${this.#fixedPointCelsius}
          .plateau=${this._found?.plateau ?? null}
          .unit=${this.unit}
          .summary=${`${chart}. ${words.chartNow(reading)}`}
        ></kiosk-melt-chart>
      </div>
      <div class="numbers">
        <div class="pair">
          <div>
            <p class="caption soft">${words.now}</p>
            <p>
              <span class="figure">${temperatureText(watch.celsius, this.unit, 1)}</span>
              <span class="unit">${unitSign(this.unit)}</span>
            </p>
          </div>
          <div>
            <p class="caption soft">${words.climb}</p>
            <p class="figure">${this.#rateFigure(watch)}</p>
          </div>
        </div>
        ${this.#renderHint(watch, age)}
        <button class="act main melted" ?disabled=${age > STALE_AFTER_SECONDS} @click=${() => this.#press(bake, watch)}>
          ${words.melted}<small>${words.meltedHelp}</small>
        </button>
      </div>
    </div>`;
  }

  #rateFigure({ kelvinPerMinute }: MeltWatch) {
    if (kelvinPerMinute === null) return words.noRate;
    const [amount = "", unit = ""] = rateText(kelvinPerMinute, this.unit).split("\u00a0");
    return html`${amount} <span class="unit">${unit}</span>`;
  }

  #renderHint(watch: MeltWatch, ageSeconds: number) {
    if (ageSeconds > STALE_AFTER_SECONDS)
      return html`<p class="hint needs" role="status">${words.silent(ageText(ageSeconds))}</p>`;
    const { plateau } = this._found ?? {};
    if (plateau)
      return html`<p class="hint" role="status">
        ${words.found(
          temperatureWithUnit(plateau.celsius, this.unit, 1),
          durationText(plateau.toSeconds - plateau.fromSeconds),
        )}
      </p>`;
    const needsPerson = watch.hint === "fast" || watch.hint === "past";
    return html`<p class="hint ${needsPerson ? "needs" : ""}" role="status">${this.#hintText(watch)}</p>`;
  }

  #hintText({ hint, celsius, kelvinPerMinute }: MeltWatch): string {
    const rate = rateText(kelvinPerMinute ?? 0, this.unit);
    const from = temperatureWithUnit(Math.round(this.#fixedPointCelsius - SLOW_BELOW_KELVIN), this.unit);
    switch (hint) {
      case null:
        return "";
      case "below":
        return words.hints.below(from);
      case "fast":
        return words.hints.fast(rate, this.#rightRate());
      case "past":
        return words.hints.past(differenceWithUnit(celsius - this.#fixedPointCelsius, this.unit));
      default:
        return words.hints[hint];
    }
  }

  #renderResult(heard: HeardFurnace) {
    const reading = this.#reading();
    const outcome = reading ? this.#outcome(heard, reading) : null;
    return html`<kiosk-scroll label=${words.result}>
      <div class="columns">
        <div class="sheet stack">
          ${this.refusal ? html`<p class="refusal" role="alert">${this.refusal}</p>` : nothing}
          ${this._step === "by-hand" ? this.#renderByHand() : this.#renderSource()}
          ${
            reading
              ? html`<p>
                  ${words.melted_at(
                    temperatureWithUnit(reading.celsius, this.unit, 1),
                    upkeepWords.metalNames[this._metal],
                    temperatureWithUnit(this.#fixedPointCelsius, this.unit, 1),
                  )}
                </p>`
              : nothing
          }
        </div>
        <div class="sheet stack">
          ${outcome ? outcomeTemplate(outcome, this.unit) : nothing}
          ${this.#isSilverInAir ? html`<p class="needs">${checkWords.result.noCorrection}</p>` : nothing}
          ${this.#renderField(words.limit, this._limitKelvin, 0.5, 0.1, 100, (value) => {
            this._limitKelvin = value;
          })}
          ${this.#renderField(words.wireKelvin, this._wireKelvin, 0.1, 0, 50, (value) => {
            this._wireKelvin = value;
          })}
          <p class="label soft">${words.saveHelp}</p>
        </div>
      </div>
    </kiosk-scroll>`;
  }

  #renderSource() {
    const { _found: found, _pressed: pressed } = this;
    if (!found || !pressed) return nothing;
    return this.#renderChoice(
      words.choose,
      ["plateau", "pressed"] as const,
      words.from,
      this._source,
      (source) => {
        this._source = source;
      },
    );
  }

  #renderByHand() {
    return html`
      <div class="fields">
        <kiosk-number-field
          .label=${words.reading}
          kind="temperature"
          .unit=${this.unit}
          .value=${this._handCelsius}
          .step=${0.5}
          .to=${1800}
          @number-changed=${(event: CustomEvent<number>) => {
            this._handCelsius = event.detail;
          }}
        ></kiosk-number-field>
        <kiosk-number-field
          .label=${words.rate}
          kind="rate"
          .unit=${this.unit}
          .value=${this._handRate}
          .step=${1}
          .to=${100}
          @number-changed=${(event: CustomEvent<number>) => {
            this._handRate = event.detail;
          }}
        ></kiosk-number-field>
      </div>
      <p class="caption soft">${words.handHelp} ${words.rateWhy}</p>
    `;
  }

  #renderField(
    label: string,
    value: number,
    step: number,
    from: number,
    to: number,
    take: (value: number) => void,
  ) {
    return html`<kiosk-number-field
      .label=${label}
      .unit=${this.unit}
      .value=${value}
      .step=${step}
      .from=${from}
      .to=${to}
      @number-changed=${(event: CustomEvent<number>) => take(event.detail)}
    ></kiosk-number-field>`;
  }

  get #fixedPointCelsius(): number {
    return FIXED_POINTS[this._metal].celsius;
  }

  get #isSilverInAir(): boolean {
    return this._metal === "silver" && this._atmosphere === "air";
  }

  #rightRate(): string {
    const least = rateText(RIGHT_RATE.least, this.unit).split("\u00a0")[0] ?? "";
    return `${least} to ${rateText(RIGHT_RATE.most, this.unit)}`;
  }

  #bake(): BakeInView | null {
    return this.heard ? openBakeOf(this.state, this.heard.furnace.id) : null;
  }

  /** What was added to the samples of a bake. */
  #correctionOf({ probe }: BakeInView) {
    return (probe ?? this.heard?.furnace.probe)?.correction?.points ?? [];
  }

  #lookForPlateau() {
    const bake = this.#bake();
    if (!bake || this.state.nowSeconds - this.#lookedAtSeconds < PLATEAU_EVERY_SECONDS) return;
    this.#lookedAtSeconds = this.state.nowSeconds;
    const plateau = watchedPlateau(bake.samples, this.#correctionOf(bake), this.#fixedPointCelsius);
    this._found = plateau ? { bakeId: bake.bake.id, plateau } : null;
  }

  #press(bake: BakeInView, watch: MeltWatch) {
    const reading = watchedReading(bake.samples, this.#correctionOf(bake), watch.atSeconds);
    if (!reading) return;
    this._pressed = { bakeId: bake.bake.id, atSeconds: watch.atSeconds, reading };
    this.#use("pressed");
  }

  #use(source: "plateau" | "pressed") {
    this._source = source;
    this._step = "result";
  }

  /** What was read, how sure, and how fast it climbed while somebody watched; null where there is none. */
  #reading(): ReadingAt | null {
    if (this._step === "by-hand")
      return { celsius: this._handCelsius, standardUncertaintyKelvin: 0, kelvinPerMinute: this._handRate };
    if (this._source === "pressed") return this._pressed?.reading ?? null;
    const { plateau } = this._found ?? {};
    return plateau ? { ...plateau, kelvinPerMinute: 0 } : null;
  }

  #outcome(heard: HeardFurnace, reading: ReadingAt): CheckOutcome {
    return wireCheck({
      metal: this._metal,
      atmosphere: this._atmosphere,
      wireKelvin: this._wireKelvin,
      limitKelvin: this._limitKelvin,
      readingCelsius: reading.celsius,
      readingStandardKelvin: reading.standardUncertaintyKelvin,
      climbKelvinPerMinute: reading.kelvinPerMinute,
      probe: heard.furnace.probe,
    });
  }

  #wireReading(): WireReading | null {
    if (this._step === "by-hand")
      return { kind: "by-hand", readingCelsius: this._handCelsius, kelvinPerMinute: this._handRate };
    const { _pressed: pressed, _found: found } = this;
    if (this._source === "plateau") return found && { kind: "plateau", bakeId: found.bakeId };
    return pressed && { kind: "pressed", bakeId: pressed.bakeId, atSeconds: pressed.atSeconds };
  }

  readonly #setMetal = (metal: WireMetal) => {
    this._metal = metal;
    this._handCelsius = FIXED_POINTS[metal].celsius;
    this._found = null;
    this._pressed = null;
    this.#lookedAtSeconds = Number.NEGATIVE_INFINITY;
  };

  #go(step: Step) {
    this._step = step;
    if (step === "watch") this.#lookForPlateau();
  }

  readonly #back = () => {
    if (this._step === "prepare") this.dispatchEvent(new CustomEvent("closed"));
    else this.#go(this._step === "result" ? "watch" : "prepare");
  };

  readonly #save = () => {
    const reading = this.#wireReading();
    if (!reading) return;
    const request: CheckRequest = {
      kind: "melting-wire",
      metal: this._metal,
      atmosphere: this._atmosphere,
      reading,
      wireKelvin: this._wireKelvin,
      limitKelvin: this._limitKelvin,
    };
    this.dispatchEvent(new CustomEvent("check-made", { detail: request }));
  };
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-wire-check": KioskWireCheck;
  }
  interface HTMLElementEventMap {
    "check-made": CustomEvent<CheckRequest>;
  }
}
