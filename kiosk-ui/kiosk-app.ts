import "@fontsource-variable/atkinson-hyperlegible-next/index.css";
import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, query, state } from "lit/decorators.js";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-places";
import "#kiosk-ui/screens/now/kiosk-now";
import type { KioskAction, Preparation } from "#kiosk-ui/components/kiosk-action";
import type { KioskPlaces } from "#kiosk-ui/components/kiosk-places";
import { briefTemperature } from "#kiosk-ui/components/reading-trust";
import { guardTouches } from "#kiosk-ui/components/touch-guard";
import { type TemperatureUnit, timeOfDayText } from "#kiosk-ui/format";
import { KioskClient } from "#kiosk-ui/kiosk-client";
import {
  type BakeInView,
  initialKioskState,
  type KioskMessage,
  type KioskState,
  nextKioskState,
  samplesHeld,
} from "#kiosk-ui/kiosk-state";
import { ALL_FURNACES, shownFurnace } from "#kiosk-ui/screens/now/kiosk-now";
import { type FetchedPage, type FetchedPlace, PlacePages } from "#kiosk-ui/screens/place-pages";
import { Sound, toneBetween } from "#kiosk-ui/sound";
import { applyTheme, keepSettings, keptSettings, type PageSettings } from "#kiosk-ui/tokens/theme";
import { tokenStyles } from "#kiosk-ui/tokens/tokens";
import { applyPixelPitch, baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { type Place, stageWord, words } from "#kiosk-ui/words";

const TICK_MILLISECONDS = 500;
const nowSeconds = () => performance.now() / 1000;

/** The one page: owns the state, chooses the screen, and carries out what people ask for. */
@customElement("kiosk-app")
export class KioskApp extends LitElement {
  @state() private _state: KioskState = initialKioskState;
  @state() private _place: Place = placeInAddress();
  @state() private _furnaceId: string | null = null;
  @state() private _preparation: Preparation | null = null;
  @state() private _settings: PageSettings = keptSettings(localStorage);
  @state() private _quietBakes: ReadonlySet<number> = new Set();
  @state() private _isBusy = false;
  @query("kiosk-places") private _places: KioskPlaces | undefined;

  readonly #sound = new Sound();
  readonly #pages = new PlacePages(() => this.requestUpdate());
  #isFetchingPages = false;
  #client: KioskClient | null = null;
  #tick: ReturnType<typeof setInterval> | undefined;
  #letGo: (() => void)[] = [];

  static override styles = [
    baseStyles,
    touchStyles,
    css`
      :host {
        display: flex;
        flex-direction: column;
        gap: var(--space-2);
        height: 100vh;
        height: 100dvh;
        padding: var(--space-3) var(--space-4);
        overflow: hidden;
        background: var(--color-ground);
        color: var(--color-ink);
        font: var(--weight-text) var(--text-body) / 1.3 var(--font-text);
        font-variant-numeric: tabular-nums;
      }
      .strip {
        flex: none;
        font-size: var(--text-caption);
        line-height: 1.2;
        color: var(--color-ink-soft);
      }
      .alarm {
        flex: none;
        display: flex;
        align-items: center;
        justify-content: space-between;
        gap: var(--space-4);
        padding: var(--space-2) var(--space-4);
        border-left: 12px solid var(--color-fault);
        border-radius: var(--radius-sheet);
        background: var(--color-sheet);
      }
      .alarm strong {
        color: var(--color-fault);
        font-size: var(--text-lead);
      }
      .screen {
        flex: 1 1 auto;
        min-height: 0;
        overflow: hidden auto;
      }
      .screen > * {
        height: 100%;
      }
      .back {
        display: flex;
        gap: var(--touch-gap);
        min-width: 0;
      }
      .back button {
        flex: 0 1 auto;
        min-width: min(220px, 100%);
        text-align: left;
        font-size: var(--text-lead);
      }
      .back small {
        display: block;
        margin-top: 3px;
        font-size: var(--text-label);
        font-weight: var(--weight-text);
      }
      .wait {
        display: grid;
        align-content: center;
        justify-items: center;
        gap: var(--space-2);
        text-align: center;
      }
      .opening {
        display: grid;
        grid-template-rows: auto minmax(0, 1fr) auto;
        gap: var(--space-3);
      }
      /* A page that comes at once shows no word of its coming. */
      .opening .said {
        align-self: center;
        justify-self: center;
        animation: appear 1ms 250ms backwards;
      }
      .opening .said.failed {
        display: grid;
        justify-items: center;
        gap: var(--space-3);
        animation: none;
      }
      @keyframes appear {
        from {
          opacity: 0;
        }
      }
      @media (max-width: 700px) {
        :host {
          height: auto;
          min-height: 100dvh;
          overflow: visible;
          padding: var(--space-3);
        }
        .screen {
          overflow: visible;
        }
        .screen > * {
          height: auto;
        }
        .back {
          flex-wrap: wrap;
        }
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    const sheet = tokenStyles.styleSheet;
    if (sheet && !document.adoptedStyleSheets.includes(sheet))
      document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
    applyTheme(document.documentElement, this._settings.theme);
    this.#client = new KioskClient({
      onMessage: (message) => this.#take(message),
      samplesHeld: (bakeId) => samplesHeld(this._state, bakeId),
      nowSeconds,
    });
    this.#tick = setInterval(() => this.#take({ kind: "tick", atSeconds: nowSeconds() }), TICK_MILLISECONDS);
    this.#letGo = [
      guardTouches(this),
      listening("hashchange", () => {
        this._place = placeInAddress();
      }),
      listening("pointerdown", () => this.#sound.unlock()),
      listening("keydown", () => this.#sound.unlock()),
    ];
    this.addEventListener("kiosk-action", this.#onAction);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    clearInterval(this.#tick);
    this.#client?.close();
    for (const letGo of this.#letGo) letGo();
    this.removeEventListener("kiosk-action", this.#onAction);
  }

  protected override willUpdate(changed: PropertyValues): void {
    if (changed.has("_place") && this._place !== "now") void this.#pages.fetch(this._place);
  }

  protected override updated(): void {
    if (this.#isFetchingPages || !this._state.isLoaded) return;
    this.#isFetchingPages = true;
    void this.#pages.fetchInQuiet();
  }

  protected override render() {
    return html`
      ${this._state.isDemonstration ? html`<header class="strip">${words.demonstration}</header>` : nothing}
      ${this.#renderLost()} ${this.#renderProblem()} ${this.#renderRefusal()}
      ${this._state.isLoaded ? this.#renderPlace() : this.#renderConnecting()}
      <kiosk-places .place=${this._place} .settings=${this._settings}></kiosk-places>
    `;
  }

  #renderConnecting() {
    return html`<main class="screen">
      <div class="wait">
        <h1>${words.connection.connecting}</h1>
        <p class="soft">${words.connection.connectingHelp}</p>
      </div>
    </main>`;
  }

  #renderLost() {
    const { connection } = this._state;
    if (connection.kind !== "lost") return nothing;
    return html`<div class="alarm" role="alert">
      <p>
        <strong>${words.connection.lost(timeOfDayText(connection.sinceEpochMilliseconds))}</strong>
        ${words.connection.lostHelp}
      </p>
    </div>`;
  }

  #renderProblem() {
    const { problem } = this._state;
    if (problem === null) return nothing;
    return html`<div class="alarm" role="alert">
      <p><strong>${words.problem}</strong> ${problem}</p>
    </div>`;
  }

  #renderRefusal() {
    const { refusal } = this._state;
    if (refusal === null) return nothing;
    return html`<div class="alarm" role="alert">
      <p><strong>${words.refusal.title}</strong> ${refusal}</p>
      <button @click=${() => this.#take({ kind: "refusal-read", atSeconds: nowSeconds() })}>
        ${words.refusal.read}
      </button>
    </div>`;
  }

  #renderPlace() {
    if (this._place === "now")
      return html`<main class="screen">
        <kiosk-now
          .state=${this._state}
          .unit=${this.#unit}
          .furnaceId=${shownFurnace(this._state, this._furnaceId)}
          .preparation=${this._preparation}
          .quietBakes=${this._quietBakes}
          .isBusy=${this._isBusy}
          .client=${this.#client}
          .beginPage=${this.#pages.stateOf("begin")}
          @begin-wanted=${this.#openBegin}
        ></kiosk-now>
      </main>`;
    if (this.#pages.stateOf(this._place) !== "ready") return this.#renderOpening(this._place);
    const screen = this.#renderOtherPlace(this._place);
    return this._place === "past-bakes"
      ? html`<div class="screen">${screen}</div>`
      : html`<main class="screen">${screen}</main>`;
  }

  /** A place whose page is on its way, or did not come. */
  #renderOpening(place: FetchedPlace) {
    const name = words.places.names[place];
    const isFailed = this.#pages.stateOf(place) === "failed";
    return html`<main class="screen">
      <div class="opening">
        <h1>${name}</h1>
        ${
          isFailed
            ? html`<div class="said failed" role="alert">
                <p>${words.opening.failed(name)}</p>
                <button class="act" @click=${() => this.#openAgain(place)}>${words.opening.again}</button>
              </div>`
            : html`<p class="said soft" role="status">${words.opening.opening}</p>`
        }
        <kiosk-foot>${this.#renderWaysBack()}</kiosk-foot>
      </div>
    </main>`;
  }

  /**
   * Browsers may remember that a file did not come, and after an update its name is another: what fails twice
   * while the daemon is heard is mended by loading the page anew, at the same place.
   */
  async #openAgain(place: FetchedPage) {
    const isThere = await this.#pages.fetch(place);
    if (!isThere && this._state.connection.kind === "connected") location.reload();
  }

  /** Begin is wanted: fetched, or after a failure tried again. */
  readonly #openBegin = () => {
    const isFailed = this.#pages.stateOf("begin") === "failed";
    void (isFailed ? this.#openAgain("begin") : this.#pages.fetch("begin"));
  };

  #renderOtherPlace(place: FetchedPlace) {
    const waysBack = this.#renderWaysBack();
    switch (place) {
      case "past-bakes":
        return html`<kiosk-past-bakes
          .client=${this.#client}
          .finishedBakes=${this._state.finishedBakes}
          .furnaces=${this._state.furnaces}
          .plans=${this._state.plans}
          .unit=${this.#unit}
          >${waysBack}</kiosk-past-bakes
        >`;
      case "plans":
        return html`<kiosk-plans .client=${this.#client} .state=${this._state} .unit=${this.#unit}
          >${waysBack}</kiosk-plans
        >`;
      case "upkeep":
        return html`<kiosk-upkeep .client=${this.#client} .state=${this._state} .unit=${this.#unit}
          >${waysBack}</kiosk-upkeep
        >`;
    }
  }

  /** From every other place each open bake is one tap away. */
  #renderWaysBack() {
    const { openBakes } = this._state;
    return openBakes.length === 0
      ? nothing
      : html`<div class="back">${openBakes.map((bake) => this.#renderWayTo(bake))}</div>`;
  }

  #renderWayTo({ bake, comparison }: BakeInView) {
    const heard = this._state.furnaces.find(({ furnace }) => furnace.id === bake.furnaceId);
    const temperature = (heard && briefTemperature(heard, this.#unit)) ?? words.reading.none;
    const stage =
      bake.state === "waiting" || !comparison
        ? (bake.planName ?? words.tiles.runningWithoutPlan)
        : stageWord(comparison.stage.kind);
    return html`<button class="act" @click=${() => this.#showFurnace(bake.furnaceId)}>
      ${words.elsewhere.running(bake.furnaceName, temperature)}
      <small>${words.elsewhere.runningDetail(stage)}</small>
    </button>`;
  }

  get #unit(): TemperatureUnit {
    return this._settings.unit === "lab" ? this._state.settings.temperatureUnit : this._settings.unit;
  }

  #take(message: KioskMessage) {
    const before = this._state;
    this._state = nextKioskState(before, message);
    const tone = before.isLoaded ? toneBetween(before, this._state, this._quietBakes) : null;
    if (tone) this.#sound.play(tone);
    if (message.kind === "snapshot")
      applyPixelPitch(document.documentElement, this._state.settings.millimetresPerPixel);
    const isBegun =
      this._preparation !== null &&
      this._state.openBakes.some(({ bake }) => bake.furnaceId === this._preparation?.furnaceId);
    if (isBegun) this.#showFurnace(this._preparation?.furnaceId ?? null, this._place);
  }

  readonly #onAction = (event: CustomEvent<KioskAction>) => {
    const action = event.detail;
    switch (action.kind) {
      case "go":
        this.#go(action.place);
        break;
      case "open-places":
        this._places?.open();
        break;
      case "show-furnace":
        this.#showFurnace(action.furnaceId);
        break;
      case "prepare":
        this._preparation = action;
        this.#go("now", true);
        break;
      case "quiet":
        this.#setQuiet(action.bakeId, action.isQuiet);
        break;
      case "choose-theme":
        this.#keep({ ...this._settings, theme: action.theme });
        break;
      case "choose-unit":
        this.#keep({ ...this._settings, unit: action.unit });
        break;
      case "looked-at":
        this.#lookedAt(action.bakeId);
        break;
      default:
        void this.#ask(action);
    }
  };

  /** Asks the daemon; a refusal is shown as the one line that it is. */
  async #ask(action: Extract<KioskAction, { kind: "begin" | "change-bake" | "close-bake" | "grade" }>) {
    const client = this.#client;
    if (!client || this._isBusy) return;
    this._isBusy = true;
    try {
      switch (action.kind) {
        case "begin":
          await client.begin(action.furnaceId, action.request);
          this.#showFurnace(action.furnaceId);
          break;
        case "change-bake":
          await client.changeBake(action.bakeId, action.patch);
          break;
        case "close-bake":
          await client.closeBake(action.bakeId);
          break;
        case "grade":
          await client.gradeBake(action.bakeId, { grade: action.grade });
          this.#lookedAt(action.bakeId);
          break;
      }
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error);
      this.#take({ kind: "refused", message, atSeconds: nowSeconds() });
    } finally {
      this._isBusy = false;
    }
  }

  #go(place: Place, keepsPreparation = false) {
    if (!keepsPreparation) this._preparation = null;
    this._place = place;
    history.replaceState(null, "", `#${place}`);
  }

  #showFurnace(furnaceId: string | null, place: Place = "now") {
    this._furnaceId = furnaceId ?? ALL_FURNACES;
    this.#go(place);
  }

  #lookedAt(bakeId: number) {
    this.#take({ kind: "looked-at", bakeId, atSeconds: nowSeconds() });
    this._furnaceId = null;
  }

  #setQuiet(bakeId: number, isQuiet: boolean) {
    const others = [...this._quietBakes].filter((other) => other !== bakeId);
    this._quietBakes = new Set(isQuiet ? [...others, bakeId] : others);
  }

  #keep(settings: PageSettings) {
    this._settings = settings;
    keepSettings(localStorage, settings);
    applyTheme(document.documentElement, settings.theme);
  }
}

function placeInAddress(): Place {
  const places: readonly Place[] = ["now", "past-bakes", "plans", "upkeep"];
  return places.find((place) => location.hash === `#${place}`) ?? "now";
}

function listening(event: string, listener: () => void): () => void {
  window.addEventListener(event, listener);
  return () => window.removeEventListener(event, listener);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-app": KioskApp;
  }
}
