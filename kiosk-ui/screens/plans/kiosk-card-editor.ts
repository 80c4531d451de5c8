import { css, html, LitElement } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import { effectivePlan } from "#core/plan/adapt";
import type { Plan } from "#core/plan/plan";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import type { KioskScroll } from "#kiosk-ui/components/kiosk-scroll";
import "#kiosk-ui/components/kiosk-sentence";
import { conditionText } from "#kiosk-ui/components/condition-text";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { initialKioskState, type KioskState } from "#kiosk-ui/kiosk-state";
import {
  adaptationAlone,
  caseOf,
  isOtherCooling,
  materialOf,
  worthSettingsOf,
} from "#kiosk-ui/screens/plans/adaptation-alone";
import { asSentence, cardConflicts, cardRemarks } from "#kiosk-ui/screens/plans/card-conflicts";
import { type CardDraft, draftOf, isSameCard, newCard } from "#kiosk-ui/screens/plans/card-draft";
import "#kiosk-ui/screens/plans/kiosk-adaptation-form";
import "#kiosk-ui/screens/plans/kiosk-card-form";
import "#kiosk-ui/screens/plans/kiosk-choices";
import "#kiosk-ui/screens/plans/kiosk-leave-question";
import type { KioskLeaveQuestion } from "#kiosk-ui/screens/plans/kiosk-leave-question";
import "#kiosk-ui/screens/plans/kiosk-plan-curve";
import "#kiosk-ui/screens/plans/kiosk-plan-form";
import type { CardDone } from "#kiosk-ui/screens/plans/kiosk-plans";
import { LeaveGuard } from "#kiosk-ui/screens/plans/leave-guard";
import { type PlanDesk, refusalLine, saveCard } from "#kiosk-ui/screens/plans/plan-desk";
import { plansStyles } from "#kiosk-ui/screens/plans/plans-styles";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { worthChangeText } from "#kiosk-ui/screens/plans/worth-text";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Adaptation, PlanRevision } from "#shared/plan";

const words = plansWords.edit;
const TABS = ["plan", "changes", "card"] as const;
type Tab = (typeof TABS)[number];

/** What the bottom row says of the draft. */
interface Said {
  readonly text: string;
  readonly detail: string;
  readonly needsPerson: boolean;
  /** True where it must not be saved. */
  readonly refuses: boolean;
}

/**
 * Edits a card by touch, with its curve and what is wrong with it in sight; saving makes the next revision.
 * @slot - the ways back to what runs
 * @fires card-done {CustomEvent<CardDone>} it was saved
 * @fires closed {CustomEvent} back without saving
 */
@customElement("kiosk-card-editor")
export class KioskCardEditor extends LitElement {
  /** The newest revision of the card; null for a new one. */
  @property({ attribute: false }) revision: PlanRevision | null = null;
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The daemon. */
  @property({ attribute: false }) client: PlanDesk | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _draft: CardDraft = newCard(plansWords.list.newName);
  @state() private _tab: Tab = "plan";
  /** The adaptation that is open; null for their list. */
  @state() private _openIndex: number | null = null;
  @state() private _isBusy = false;
  @state() private _refusal = "";
  @query("kiosk-leave-question") private _question: KioskLeaveQuestion | undefined;
  @query("kiosk-scroll") private _scroll: KioskScroll | undefined;

  /** What was there when editing began; what the daemon tells meanwhile leaves the draft alone. */
  #begun: PlanRevision | null = null;
  #saved: CardDraft = this._draft;
  readonly #guard = new LeaveGuard(
    this,
    () => this.#isChanged,
    () => this._question?.ask() ?? Promise.resolve(true),
  );

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    plansStyles,
    css`
      .columns {
        grid-template:
          "curve tabs" auto
          "curve form" minmax(0, 1fr)
          / minmax(0, 1fr) 724px;
        gap: var(--space-2) var(--space-3);
      }
      .left {
        grid-area: curve;
      }
      .tabs {
        grid-area: tabs;
      }
      .form {
        grid-area: form;
      }
      .ways {
        display: contents;
      }
      .forms {
        padding: var(--space-3) var(--space-4) var(--space-4);
      }
      @media (max-width: 1100px), (max-height: 700px) {
        .columns {
          grid-template:
            "tabs form" auto
            "curve form" minmax(0, 1fr)
            / minmax(0, 1fr) 682px;
        }
        .forms {
          padding: var(--space-2) var(--space-2) var(--space-3);
        }
        .left {
          padding: var(--space-2) var(--space-3);
        }
      }
    `,
  ];

  protected override willUpdate() {
    if (this.hasUpdated || !this.revision) return;
    this.#begun = this.revision;
    this._draft = draftOf(this.revision);
    this.#saved = this._draft;
  }

  protected override render() {
    const said = this.#said();
    const title = this.#begun ? words.title(this.#begun.plan.name) : words.titleNew;
    return html`
      <div class="head"><h1>${title}</h1></div>
      <div class="columns">
        <section class="sheet pane left">
          ${this.#renderCurve()}
        </section>
        <kiosk-choices
          class="tabs"
          isBare
          isRow
          .label=${title}
          .value=${this._tab}
          .choices=${TABS.map((tab) => ({ value: tab, name: words.tabs[tab] }))}
          @choice-made=${(event: CustomEvent<Tab>) => {
            this._tab = event.detail;
            this._scroll?.toTop();
          }}
        ></kiosk-choices>
        <kiosk-scroll class="form" label=${words.tabs[this._tab]}>
          <div class="sheet forms">${this.#renderForm()}</div>
        </kiosk-scroll>
      </div>
      <kiosk-foot>
        <div class="foot-left">
          <div class="ways"><slot></slot></div>
          <kiosk-sentence .text=${said.text} .detail=${said.detail} ?needsPerson=${said.needsPerson}></kiosk-sentence>
        </div>
        <button slot="actions" class="act" @click=${() => this.#guard.leave(this.#close)}>${plansWords.cancel}</button>
        <button
          slot="actions"
          class="act main"
          ?disabled=${said.refuses || !this.#canSave}
          @click=${this.#save}
        >
          ${this._isBusy ? plansWords.saving : plansWords.save}
        </button>
      </kiosk-foot>
      <kiosk-leave-question></kiosk-leave-question>
    `;
  }

  /** An open adaptation over the base plan; else what is changed over what is saved. */
  #renderCurve() {
    const opened = this.#opened();
    const furnaces = this.state.furnaces.map(({ furnace }) => furnace);
    const saved = this.#begun && this.#isChanged ? this.#begun.plan : null;
    const name = !this.#begun ? words.curveNew : this.#isChanged ? words.curveNow : words.curveBefore;
    return html`<kiosk-plan-curve
      class="curve"
      .plan=${opened?.plan ?? this._draft.plan}
      .base=${opened?.plan ? this._draft.plan : saved}
      .planName=${opened?.plan ? conditionText(opened.adaptation.when, furnaces) : name}
      .baseName=${opened?.plan ? words.curveBase : words.curveBefore}
      .unit=${this.unit}
      .activationEnergyJoulesPerMole=${
        worthSettingsOf(this._draft, this.state.materials).activationEnergyJoulesPerMole
      }
    ></kiosk-plan-curve>`;
  }

  #renderForm() {
    const take = (event: CustomEvent<CardDraft>) => {
      this._draft = event.detail;
      this._refusal = "";
    };
    switch (this._tab) {
      case "plan":
        return html`<kiosk-plan-form .card=${this._draft} .unit=${this.unit} @draft-changed=${take}></kiosk-plan-form>`;
      case "changes":
        return html`<kiosk-adaptation-form
          .card=${this._draft}
          .furnaces=${this.state.furnaces.map(({ furnace }) => furnace)}
          .openIndex=${this._openIndex}
          @adaptation-opened=${(event: CustomEvent<number | null>) => {
            this._openIndex = event.detail;
          }}
          .unit=${this.unit}
          @draft-changed=${take}
        ></kiosk-adaptation-form>`;
      case "card":
        return html`<kiosk-card-form
          .card=${this._draft}
          .materials=${this.state.materials}
          .unit=${this.unit}
          @draft-changed=${take}
        ></kiosk-card-form>`;
    }
  }

  /** What forbids saving first, then what somebody should look at, then how it stands. */
  #said(): Said {
    if (this._refusal) return { text: this._refusal, detail: "", needsPerson: true, refuses: false };
    const [conflict, ...others] = cardConflicts(
      this._draft,
      this.state.furnaces.map(({ furnace }) => furnace),
    );
    if (conflict)
      return { text: conflict, detail: alsoText(others.length), needsPerson: true, refuses: true };
    const [remark, ...more] = cardRemarks(this._draft, this.#material);
    const effect = this.#effectText();
    if (remark)
      return {
        text: remark,
        detail: effect || (more.length > 0 ? alsoText(more.length) : this.#readyText()),
        needsPerson: true,
        refuses: false,
      };
    const detail = effect || this.#meanwhileText();
    return { text: this.#readyText(), detail, needsPerson: false, refuses: false };
  }

  get #material() {
    return materialOf(this._draft, this.state.materials)?.material ?? null;
  }

  /** The adaptation that is open, with the plan that it alone gives. */
  #opened(): { adaptation: Adaptation; plan: Plan | null } | null {
    const adaptation = this._tab === "changes" ? this._draft.adaptations[this._openIndex ?? -1] : undefined;
    if (!adaptation) return null;
    const { when } = adaptation;
    const alone = { ...this._draft, adaptations: [adaptation] };
    const fitted = effectivePlan(alone, caseOf(when), when.kind === "furnace" ? when.furnaceId : null);
    return { adaptation, plan: fitted.ok ? fitted.plan : null };
  }

  /** What the open adaptation does to heat work, flow length and length. */
  #effectText(): string {
    const opened = this.#opened();
    const settings = worthSettingsOf(this._draft, this.state.materials);
    const effect = opened && adaptationAlone(this._draft, opened.adaptation, settings);
    if (!effect) return "";
    const change = asSentence(worthChangeText(effect.before, effect.after));
    return isOtherCooling(this._draft, opened.adaptation)
      ? `${change} ${plansWords.worth.otherCooling}`
      : change;
  }

  #readyText(): string {
    if (!this.revision)
      return this._draft.plan.name === plansWords.list.newName
        ? `${words.nameIt} ${words.readyNew}`
        : words.readyNew;
    return this.#isChanged ? words.ready(this.revision.revision + 1) : words.nothingChanged;
  }

  #meanwhileText(): string {
    const isNewer = this.revision !== null && this.revision.revision !== this.#begun?.revision;
    return isNewer ? words.changedMeanwhile(this.revision?.revision ?? 0) : plansWords.first;
  }

  get #isChanged(): boolean {
    return !isSameCard(this._draft, this.#saved);
  }

  get #canSave(): boolean {
    return !this._isBusy && this.client !== null && (this.#begun === null || this.#isChanged);
  }

  readonly #close = () => {
    this.dispatchEvent(new CustomEvent("closed"));
  };

  readonly #save = async () => {
    const { client } = this;
    if (!client || !this.#canSave) return;
    this._isBusy = true;
    this._refusal = "";
    try {
      const revision = await saveCard(client, this.#begun?.planId ?? null, this._draft);
      this.#saved = this._draft;
      const detail: CardDone = { revision, said: plansWords.card.saved(revision.revision) };
      if (this.isConnected) this.dispatchEvent(new CustomEvent("card-done", { detail }));
    } catch (error) {
      this._refusal = refusalLine(error);
    } finally {
      this._isBusy = false;
    }
  };
}

function alsoText(count: number): string {
  return count === 0 ? "" : words.also(count);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-card-editor": KioskCardEditor;
  }
}
