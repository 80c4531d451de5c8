import { mkdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { type Browser, type BrowserContext, chromium, type Locator, type Page } from "playwright-core";
import { BOUNCE_MILLISECONDS } from "#kiosk-ui/components/touch-guard";

/** The usual panel: 10.1 inch, 1280×800. */
const MILLIMETRES_PER_PIXEL = 0.1695;
const SIZES = [
  { width: 1280, height: 800 },
  { width: 1024, height: 600 },
] as const;
const THEMES = ["light", "dark"] as const;
const SWITCHES = [
  "--headless",
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];
const PATIENCE_MILLISECONDS = 60_000;
/** Layout counts in 64ths of a pixel, and 15 mm are no whole number of them. */
const ROUNDING_MILLIMETRES = MILLIMETRES_PER_PIXEL / 32;
/** What begins, confirms or grades: 20 mm instead of 15. */
const DECIDING =
  /^(Begin( on .*)?|The plan|Without a case|Save|Look for it|Later|Done|raw|milky|right|glassy|slumped)$/;

/** What a running bake says at one moment. */
export interface Glance {
  readonly stage: string;
  readonly temperature: string;
  readonly plan: string;
  readonly heatWork: string;
}

/** Something that can be pressed, in millimetres of the panel. */
interface Target {
  readonly name: string;
  readonly widthMillimetres: number;
  readonly heightMillimetres: number;
}

declare global {
  interface Window {
    /** When the page took its last touch, by its own clock; kept by the journeys. */
    lastTouchAt?: number;
    axe?: {
      run(
        where: Document,
        options: object,
      ): Promise<{
        violations: {
          id: string;
          impact: string | null;
          nodes: { target: unknown[]; failureSummary?: string }[];
        }[];
      }>;
    };
  }
}

/** Starts a headless Chromium. */
export function openBrowser(): Promise<Browser> {
  const executablePath = process.env["CHROMIUM_PATH"] ?? "/usr/bin/chromium";
  return chromium.launch({ executablePath, args: SWITCHES });
}

/** A kiosk as somebody with wet fingers has it before them: it is touched, and read. */
export class KioskPage {
  readonly page: Page;
  /** Errors that the page wrote on its console, and those that nobody caught. */
  readonly errors: string[] = [];
  /** Addresses asked for that aren't the kiosk's own. */
  readonly strangers: string[] = [];
  readonly #context: BrowserContext;
  #axe = "";

  private constructor(context: BrowserContext, page: Page, address: string) {
    this.#context = context;
    this.page = page;
    const { host } = new URL(address);
    page.on("console", (message) => {
      if (message.type() === "error") this.errors.push(message.text());
    });
    page.on("pageerror", (error) => this.errors.push(String(error)));
    const ask = (url: string) => {
      if (!url.startsWith("data:") && new URL(url).host !== host) this.strangers.push(url);
    };
    page.on("request", (request) => ask(request.url()));
    page.on("websocket", (socket) => ask(socket.url()));
  }

  /** Opens a kiosk in a browser profile of its own, where nothing fades: colours are measured at once. */
  static async open(browser: Browser, address: string): Promise<KioskPage> {
    const context = await browser.newContext({ viewport: SIZES[0], hasTouch: true, reducedMotion: "reduce" });
    const page = await context.newPage();
    const kiosk = new KioskPage(context, page, address);
    await page.addInitScript(() => {
      window.addEventListener(
        "click",
        (event) => {
          window.lastTouchAt = event.timeStamp;
        },
        { capture: true },
      );
    });
    await page.goto(address);
    return kiosk;
  }

  close(): Promise<void> {
    return this.#context.close();
  }

  /** A button that can be seen, by what it says from the first letter to the last. */
  button(name: string | RegExp, within: Page | Locator = this.page): Locator {
    return within.getByRole("button", typeof name === "string" ? { name, exact: true } : { name });
  }

  /** Touches something once the kiosk takes touches again; what comes of it is to be awaited by the caller. */
  async tap(target: Locator): Promise<void> {
    await this.page.waitForFunction(
      (bounce) => window.lastTouchAt === undefined || performance.now() - window.lastTouchAt > bounce,
      BOUNCE_MILLISECONDS,
    );
    await target.tap();
  }

  /** Touches the button of this name. */
  tapButton(name: string | RegExp, within: Page | Locator = this.page): Promise<void> {
    return this.tap(this.button(name, within));
  }

  /** Types a number on a keypad, key by key, each once the one before stands in the field. */
  async typeNumber(digits: string, within: Locator, field: Locator): Promise<void> {
    for (const [index, digit] of [...digits].entries()) {
      await this.tapButton(digit, within.getByRole("group", { name: "Keypad for the job number" }));
      await this.until(
        `${digit} in the field`,
        async () => (await field.inputValue()) === digits.slice(0, index + 1),
      );
    }
  }

  /** Goes to one of the four places by touch. */
  async go(place: string): Promise<void> {
    await this.tapButton("Places");
    const places = this.page.getByRole("dialog", { name: "Places" });
    await this.tapButton(new RegExp(`^${place}`), places);
    await places.waitFor({ state: "hidden" });
  }

  /**
   * Asks with every picture that the browser draws, until it is so.
   * @throws Error that says what never came, after a minute
   */
  async until(what: string, isSo: () => Promise<boolean>): Promise<void> {
    const startedAt = performance.now();
    while (!(await isSo())) {
      if (performance.now() - startedAt > PATIENCE_MILLISECONDS) throw new Error(`Never came: ${what}`);
      await this.nextFrame();
    }
  }

  /** Settles when the page is drawn anew. */
  async nextFrame(): Promise<void> {
    await this.page.evaluate(() => new Promise((resolve) => requestAnimationFrame(resolve)));
  }

  /** What the running bake says now; null when none is shown. */
  glance(): Promise<Glance | null> {
    return this.page.evaluate(() => {
      const all = (root: ParentNode): Element[] =>
        [...root.querySelectorAll("*")].flatMap((element) => [
          element,
          ...(element.shadowRoot ? all(element.shadowRoot) : []),
        ]);
      const running = all(document).find(({ localName }) => localName === "kiosk-running")?.shadowRoot;
      if (!running) return null;
      const inside = all(running);
      const words = (selector: string) =>
        inside
          .find((element) => element.matches(selector))
          ?.textContent?.replace(/\s+/g, " ")
          .trim() ?? "";
      return {
        stage: inside.find((element) => element.matches("li.now"))?.getAttribute("aria-label") ?? "",
        temperature: words(".row .figure"),
        plan: words(".numbers > p.plan"),
        heatWork: words("div.rule > .figure"),
      };
    });
  }

  /** Times of every point of the curve on the screen, s, in the order in which they stand. */
  curveSeconds(): Promise<number[]> {
    return this.page
      .locator("kiosk-trace-chart")
      .first()
      .evaluate((chart) =>
        (chart as unknown as { samples: { atSeconds: number }[] }).samples.map((sample) => sample.atSeconds),
      );
  }

  /**
   * Looks hard at what is on the screen, at both sizes: what is too small to touch, and what readers of
   * screens cannot use. Keeps pictures, light and dark, where `KEEP_SCREENSHOTS` names a folder.
   * @returns one line per fault
   */
  async faults(screen: string): Promise<string[]> {
    const faults: string[] = [];
    for (const size of SIZES) {
      await this.page.setViewportSize(size);
      await this.nextFrame();
      const where = `${screen} at ${size.width}×${size.height}`;
      faults.push(...(await this.#tooSmall()).map((fault) => `${where}: ${fault}`));
      for (const theme of THEMES) await this.#inTheme(theme, `${screen}-${size.width}-${theme}`, faults);
    }
    await this.page.setViewportSize(SIZES[0]);
    await this.nextFrame();
    return faults;
  }

  /** The theme as Places would set it, for as long as it is looked at. */
  async #inTheme(theme: string, name: string, faults: string[]): Promise<void> {
    const before = await this.page.evaluate((theme) => {
      const before = document.documentElement.dataset["theme"];
      document.documentElement.dataset["theme"] = theme;
      return before;
    }, theme);
    await this.nextFrame();
    await this.#keepPicture(name);
    faults.push(...(await this.#unreadable()).map((fault) => `${name}: ${fault}`));
    await this.page.evaluate((theme) => {
      document.documentElement.dataset["theme"] = theme;
    }, before);
  }

  async #keepPicture(name: string): Promise<void> {
    const folder = process.env["KEEP_SCREENSHOTS"];
    if (!folder) return;
    await mkdir(folder, { recursive: true });
    await this.page.screenshot({ path: join(folder, `${name}.png`) });
  }

  async #tooSmall(): Promise<string[]> {
    return (await this.#targets())
      .filter(({ name, widthMillimetres, heightMillimetres }) => {
        const least = DECIDING.test(name) ? 20 : 15;
        return Math.min(widthMillimetres, heightMillimetres) < least - ROUNDING_MILLIMETRES;
      })
      .map(
        ({ name, widthMillimetres, heightMillimetres }) =>
          `"${name}" is ${widthMillimetres.toFixed(1)} × ${heightMillimetres.toFixed(1)} mm`,
      );
  }

  /** Everything that can be pressed now, through every shadow root; in an open dialog only what is in it. */
  async #targets(): Promise<Target[]> {
    const boxes = await this.page.evaluate(() => {
      const all = (root: ParentNode): Element[] =>
        [...root.querySelectorAll("*")].flatMap((element) => [
          element,
          ...(element.shadowRoot ? all(element.shadowRoot) : []),
        ]);
      const dialog = all(document).find((element) => element.matches("dialog[open]"));
      return all(dialog ?? document)
        .filter((element) => element.matches("button, input, select, textarea, a[href]"))
        .map((element) => ({ element, box: element.getBoundingClientRect() }))
        .filter(({ box }) => box.width > 0 && box.height > 0)
        .map(({ element, box }) => ({
          name: (element.getAttribute("aria-label") ?? element.textContent ?? element.id)
            .replace(/\s+/g, " ")
            .trim(),
          width: box.width,
          height: box.height,
        }));
    });
    return boxes.map(({ name, width, height }) => ({
      name,
      widthMillimetres: width * MILLIMETRES_PER_PIXEL,
      heightMillimetres: height * MILLIMETRES_PER_PIXEL,
    }));
  }

  /** Serious and critical findings of axe. Its program comes in by the debugger: the page's own rules allow no other. */
  async #unreadable(): Promise<string[]> {
    if (!(await this.page.evaluate(() => window.axe !== undefined))) {
      this.#axe ||= await readFile("node_modules/axe-core/axe.min.js", "utf8");
      const debug = await this.#context.newCDPSession(this.page);
      await debug.send("Runtime.evaluate", { expression: this.#axe });
      await debug.detach();
    }
    const violations = await this.page.evaluate(async () => {
      if (!window.axe) throw new Error("axe did not come into the page");
      return (await window.axe.run(document, { resultTypes: ["violations"], preload: false })).violations;
    });
    return violations
      .filter(({ impact }) => impact === "serious" || impact === "critical")
      .flatMap(({ id, impact, nodes }) =>
        nodes.map(
          ({ target, failureSummary = "" }) =>
            `${impact} ${id} at ${target.flat().join(" ")}: ${failureSummary.replace(/\s+/g, " ")}`,
        ),
      );
  }
}
