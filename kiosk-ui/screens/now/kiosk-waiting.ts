import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/chart/kiosk-trace-chart";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-hot-surface";
import "#kiosk-ui/components/kiosk-readout";
import "#kiosk-ui/components/kiosk-sentence";
import "#kiosk-ui/screens/now/kiosk-bake-head";
import { fittedNumbers } from "#kiosk-ui/components/fitted-numbers";
import { planFacts } from "#kiosk-ui/components/plan-facts";
import { allFaults, countedFaultsText, readingTrust } from "#kiosk-ui/components/reading-trust";
import { ageText, keptTogether, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { type BakeInView, type HeardFurnace, STALE_AFTER_SECONDS } from "#kiosk-ui/kiosk-state";
import { type BakeSentence, faultStatement } from "#kiosk-ui/screens/now/bake-sentence";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { BakePlan } from "#shared/plan";
import type { SensorFault } from "#shared/sensor-fault";

/**
 * A bake that is begun and whose climb is not seen yet: what it will do, and what to do at the furnace.
 * @slot actions - buttons of the owner, before this screen's own
 * @fires bake-opened {CustomEvent} "This bake" was pressed
 */
@customElement("kiosk-waiting")
export class KioskWaiting extends LitElement {
  /** The bake that waits. */
  @property({ attribute: false }) bake: BakeInView | null = null;
  /** Its furnace, for the newest reading. */
  @property({ attribute: false }) furnace: HeardFurnace | null = null;
  /** Age of that reading by the page's own clock, s. */
  @property({ attribute: false }) ageSeconds: number | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    css`
      .body {
        display: grid;
        grid-template-columns: minmax(0, 1fr) minmax(300px, 36%);
        gap: var(--space-4);
        min-height: 0;
      }
      .chart {
        display: flex;
        flex-direction: column;
        min-height: 0;
        padding: var(--space-4);
      }
      kiosk-trace-chart {
        flex: 1 1 auto;
        min-height: 0;
      }
      .side {
        display: flex;
        flex-direction: column;
        gap: var(--space-4);
        min-height: 0;
      }
      .todo {
        min-height: 0;
        padding-bottom: 4px;
        overflow-y: auto;
        scrollbar-width: thin;
      }
      .side kiosk-hot-surface,
      .side kiosk-readout {
        flex: none;
      }
      .facts {
        margin: 2px 0 var(--space-2);
      }
      ol {
        counter-reset: step;
        font-size: var(--text-lead);
        line-height: 1.3;
      }
      ol li {
        position: relative;
        padding: var(--space-2) 0 0 1.6em;
      }
      ol li::before {
        position: absolute;
        left: 0;
        color: var(--color-ink-soft);
        font-weight: var(--weight-heavy);
        content: counter(step);
        counter-increment: step;
      }
      @media (max-height: 700px) and (min-width: 701px) {
        .side {
          gap: var(--space-2);
        }
        .fitted kiosk-readout {
          --readout-size: 84px;
        }
        .side.fitted ol {
          font-size: var(--text-label);
          line-height: 1.2;
        }
        ol {
          font-size: var(--text-body);
        }
        ol li {
          padding-top: var(--space-1);
        }
      }
      @media (max-width: 700px) {
        .body {
          display: flex;
          flex-direction: column-reverse;
        }
        .chart {
          height: 320px;
        }
      }
    `,
  ];

  protected override render() {
    const { bake } = this;
    if (!bake) return nothing;
    const plan = bake.plan?.plan ?? null;
    const faults = allFaults(bake.sensorFaults, this.furnace?.sensorFaults ?? []);
    const counted = countedFaultsText(faults);
    const sentence = this.#sentence(faults);
    return html`
      <kiosk-bake-head .bake=${bake.bake}></kiosk-bake-head>
      <div class="body">
        <section class="chart sheet">
          <h2>${words.waiting.title}</h2>
          ${plan ? html`<p class="facts label soft">${planFacts(plan, this.unit)}</p>` : nothing}
          <kiosk-trace-chart .plan=${plan} .samples=${bake.samples} .unit=${this.unit}></kiosk-trace-chart>
          ${counted ? html`<p class="caption soft">${counted}</p>` : nothing}
        </section>
        <section class="side ${bake.plan?.case ? "fitted" : ""}">
          <kiosk-readout
            .celsius=${this.furnace?.latest?.sample.celsius ?? null}
            .unit=${this.unit}
            .ageSeconds=${this.ageSeconds}
            .trust=${readingTrust(faults)}
          ></kiosk-readout>
          <div class="todo">
            <h2>${words.waiting.todo}</h2>
            <ol>
              ${(bake.plan ? this.#steps(bake.plan) : [words.waiting.withoutPlan]).map(
                (step) => html`<li>${keptTogether(step)}</li>`,
              )}
            </ol>
          </div>
          <kiosk-hot-surface></kiosk-hot-surface>
        </section>
      </div>
      <kiosk-foot>
        <kiosk-sentence
          .text=${sentence.text}
          .detail=${sentence.detail}
          .needsPerson=${sentence.needsPerson}
        ></kiosk-sentence>
        <slot name="actions" slot="actions"></slot>
        <button slot="actions" class="act" @click=${() => this.dispatchEvent(new CustomEvent("bake-opened"))}>
          ${words.running.thisBake}
        </button>
      </kiosk-foot>
    `;
  }

  /** What to do at the furnace; the program is one thing, what the card changed in it for this case another. */
  #steps(bakePlan: BakePlan): string[] {
    const { plan } = bakePlan;
    const fitted = fittedNumbers(bakePlan, this.unit);
    const [program = "", ...rest] = words.waiting.steps(
      plan.name,
      temperatureWithUnit(plan.lowCelsius, this.unit),
    );
    return [program, ...(fitted ? [words.waiting.fitted(fitted)] : []), ...rest];
  }

  /** A fault of the thermocouple first, then silence, else what to do. */
  #sentence(faults: readonly SensorFault[]): BakeSentence {
    const isStale = this.ageSeconds === null || this.ageSeconds > STALE_AFTER_SECONDS;
    const isSilent = isStale && this.furnace?.link.kind !== "listening";
    const fault = isSilent ? null : faultStatement(faults, this.unit);
    if (fault) return fault;
    return {
      text:
        isStale && this.ageSeconds !== null
          ? words.sentence.stale(ageText(this.ageSeconds))
          : words.waiting.sentence,
      detail: isStale ? words.sentence.staleDetail : words.waiting.sentenceDetail,
      needsPerson: isStale,
    };
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-waiting": KioskWaiting;
  }
}
