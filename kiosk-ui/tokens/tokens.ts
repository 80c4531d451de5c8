import { css, unsafeCSS } from "lit";

/** Reference tier: raw values, read only by the system tier below. */
const reference = {
  sand: "#e6e7e2",
  paper: "#f5f5f1",
  ink: "#1d2226",
  slate: "#525b62",
  chalk: "#c9ccc5",
  mist: "#dcded7",
  stone: "#797e75",
  navy: "#173f5f",
  white: "#ffffff",
  rust: "#d8602a",
  rustDeep: "#a8430f",
  rustPale: "#e9a685",
  blue: "#2a78ad",
  blueDeep: "#1b638f",
  bluePale: "#9cc3de",
  amber: "#f2c94c",
  red: "#b3261e",
  night: "#14171a",
  nightSheet: "#1c2024",
  nightInk: "#eceae4",
  nightSlate: "#9aa3a9",
  nightLine: "#353b41",
  nightBand: "#2a3035",
  nightStone: "#6c747b",
  sky: "#a9d0ee",
  nightNavy: "#0f1a22",
  ember: "#ef8450",
  emberDark: "#7d4227",
  ice: "#6db3e0",
  iceDark: "#274a60",
  amberDim: "#e6bd3f",
  coral: "#f2695f",
} as const;

/** The colours that components may name: `--color-…`, the same words in light and dark. */
export type ColorToken =
  | "ground"
  | "sheet"
  | "ink"
  | "ink-soft"
  | "line"
  | "line-firm"
  | "band"
  | "warm"
  | "warm-fill"
  | "warm-text"
  | "cool"
  | "cool-fill"
  | "cool-text"
  | "press"
  | "on-press"
  | "person"
  | "on-person"
  | "fault";

/** System tier, light: dark ink on grey paper, which reads best beside a bright furnace. */
export const lightColors: Readonly<Record<ColorToken, string>> = {
  ground: reference.sand,
  sheet: reference.paper,
  ink: reference.ink,
  "ink-soft": reference.slate,
  line: reference.chalk,
  "line-firm": reference.stone,
  band: reference.mist,
  warm: reference.rust,
  "warm-fill": reference.rustPale,
  "warm-text": reference.rustDeep,
  cool: reference.blue,
  "cool-fill": reference.bluePale,
  "cool-text": reference.blueDeep,
  press: reference.navy,
  "on-press": reference.white,
  person: reference.amber,
  "on-person": reference.ink,
  fault: reference.red,
};

/** System tier, dark: for a dim room. */
export const darkColors: Readonly<Record<ColorToken, string>> = {
  ground: reference.night,
  sheet: reference.nightSheet,
  ink: reference.nightInk,
  "ink-soft": reference.nightSlate,
  line: reference.nightLine,
  "line-firm": reference.nightStone,
  band: reference.nightBand,
  warm: reference.ember,
  "warm-fill": reference.emberDark,
  "warm-text": reference.ember,
  cool: reference.ice,
  "cool-fill": reference.iceDark,
  "cool-text": reference.ice,
  press: reference.sky,
  "on-press": reference.nightNavy,
  person: reference.amberDim,
  "on-person": reference.nightNavy,
  fault: reference.coral,
};

/** Pairs in which text of the first colour stands on the second: at least 4.5:1 (WCAG 2.2, 1.4.3). */
export const textPairs: readonly (readonly [ColorToken, ColorToken])[] = [
  ["ink", "ground"],
  ["ink", "sheet"],
  ["ink", "band"],
  ["ink-soft", "ground"],
  ["ink-soft", "sheet"],
  ["warm-text", "ground"],
  ["warm-text", "sheet"],
  ["cool-text", "ground"],
  ["cool-text", "sheet"],
  ["press", "ground"],
  ["press", "sheet"],
  ["on-press", "press"],
  ["on-person", "person"],
  ["fault", "ground"],
  ["fault", "sheet"],
];

/** Pairs in which a line or shape of the first colour carries meaning on the second: at least 3:1 (1.4.11). */
export const linePairs: readonly (readonly [ColorToken, ColorToken])[] = [
  ["ink", "sheet"],
  ["ink-soft", "sheet"],
  ["line-firm", "ground"],
  ["line-firm", "sheet"],
  ["warm", "sheet"],
  ["cool", "sheet"],
  ["press", "sheet"],
  ["fault", "sheet"],
];

/** In forced-colors mode the reader's own palette takes over. */
const forcedColors: Readonly<Record<ColorToken, string>> = {
  ground: "Canvas",
  sheet: "Canvas",
  ink: "CanvasText",
  "ink-soft": "CanvasText",
  line: "GrayText",
  "line-firm": "CanvasText",
  band: "Canvas",
  warm: "CanvasText",
  "warm-fill": "Highlight",
  "warm-text": "CanvasText",
  cool: "CanvasText",
  "cool-fill": "GrayText",
  "cool-text": "CanvasText",
  press: "ButtonText",
  "on-press": "ButtonFace",
  person: "Highlight",
  "on-person": "HighlightText",
  fault: "CanvasText",
};

const declarations = (colors: Readonly<Record<ColorToken, string>>) =>
  unsafeCSS(
    Object.entries(colors)
      .map(([token, value]) => `--color-${token}: ${value};`)
      .join(" "),
  );

/**
 * The tokens as a style sheet for the document. `html[data-theme]` is `light`, `dark` or `device`;
 * `--mm` is one millimetre on this panel and comes from the pixel pitch (`tokens/touch.ts`).
 */
export const tokenStyles = css`
  :root {
    color-scheme: light;
    ${declarations(lightColors)}
    --mm: 5.9px;
    --font-text: "Atkinson Hyperlegible Next Variable", "Atkinson Hyperlegible Next", system-ui, sans-serif;
    --weight-text: 400;
    --weight-medium: 560;
    --weight-strong: 640;
    --weight-heavy: 700;
    --text-caption: 15px;
    --text-label: 17px;
    --text-body: 20px;
    --text-lead: 22px;
    --text-sentence: 27px;
    --text-title: 30px;
    --text-figure: 46px;
    --text-readout: 142px;
    --readout-tightening: -0.035em;
    --space-1: 4px;
    --space-2: 8px;
    --space-3: 12px;
    --space-4: 18px;
    --space-5: 28px;
    --radius-sheet: 10px;
    --radius-button: 12px;
    --motion-quick: 120ms;
    --motion-calm: 200ms;
    --touch-target: calc(15 * var(--mm));
    --touch-target-act: calc(20 * var(--mm));
    --touch-gap: calc(3 * var(--mm));
    --focus-ring: 3px solid var(--color-press);
  }
  :root[data-theme="dark"] {
    color-scheme: dark;
    ${declarations(darkColors)}
  }
  @media (prefers-color-scheme: dark) {
    :root[data-theme="device"] {
      color-scheme: dark;
      ${declarations(darkColors)}
    }
  }
  @media (max-height: 700px), (max-width: 1100px) {
    :root {
      --text-body: 18px;
      --text-lead: 20px;
      --text-sentence: 22px;
      --text-title: 25px;
      --text-figure: 35px;
      --text-readout: 112px;
      --space-4: 14px;
      --space-5: 20px;
    }
  }
  @media (prefers-reduced-motion: reduce) {
    :root {
      --motion-quick: 0ms;
      --motion-calm: 0ms;
    }
  }
  @media (forced-colors: active) {
    :root:root:root {
      ${declarations(forcedColors)}
      --focus-ring: 3px solid Highlight;
    }
  }
  html,
  body {
    margin: 0;
    height: 100%;
    background: var(--color-ground);
    color: var(--color-ink);
    font: var(--weight-text) var(--text-body) / 1.3 var(--font-text);
    font-variant-numeric: tabular-nums;
    -webkit-text-size-adjust: 100%;
    text-size-adjust: 100%;
    -webkit-tap-highlight-color: transparent;
    touch-action: manipulation;
    user-select: none;
  }
`;
