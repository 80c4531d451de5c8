import type { TimeWindow } from "#core/trace/decimate";
import { type ChartFrame, clipped, textWidth, write } from "#kiosk-ui/chart/chart-frame";
import type { RatePoint, VacuumScene } from "#kiosk-ui/chart/chart-scene";
import { chartWords, isAir } from "#kiosk-ui/chart/chart-words";
import type { Box } from "#kiosk-ui/chart/inset-place";

/** The vacuum strip: the planned window as a pale bar, the measured one firm in it, the level in words. */
export function drawVacuum(frame: ChartFrame, strip: Box, vacuum: VacuumScene): void {
  const { context, ratio, palette } = frame;
  const middle = strip.top + strip.height / 2;
  const thick = 9 * ratio;
  const bar = (span: TimeWindow, color: string, height: number) => {
    const left = Math.max(frame.x(span.fromSeconds), strip.left);
    const right = Math.min(frame.x(span.toSeconds), strip.left + strip.width);
    if (right <= left) return;
    context.fillStyle = color;
    context.beginPath();
    context.roundRect(left, middle - height / 2, right - left, height, height / 2);
    context.fill();
  };
  if (vacuum.planned) bar(vacuum.planned, palette.line, thick);
  if (vacuum.actual) bar(vacuum.actual, palette.softInk, thick / 2.4);
  writeBeside(frame, strip, vacuumWord(vacuum), [vacuum.planned, vacuum.actual], middle);
}

/** Where the heat work is done: its rate over time, planned dotted and delivered filled. */
export function drawHeatWork(
  frame: ChartFrame,
  strip: Box,
  planned: readonly RatePoint[],
  delivered: readonly RatePoint[],
): void {
  const { context, ratio, palette } = frame;
  const foot = strip.top + strip.height;
  const most = Math.max(1, ...planned.map(({ rate }) => rate), ...delivered.map(({ rate }) => rate));
  const wordHeight = frame.fontPixels * ratio;
  const wordEnd = strip.left + textWidth(frame, chartWords.heatWorkStrip) + wordHeight;
  const isHighUnderWord = [...planned, ...delivered].some(
    ({ atSeconds, rate }) =>
      frame.x(atSeconds) >= strip.left && frame.x(atSeconds) < wordEnd && rate > most * 0.4,
  );
  const room = strip.height - wordHeight * (isHighUnderWord ? 1.5 : 0.6);
  const y = (rate: number) => foot - (rate / most) * room;
  line(context, strip.left, foot, strip.left + strip.width, foot, palette.line, ratio);
  write(frame, chartWords.heatWorkStrip, strip.left, strip.top + wordHeight * 0.9);
  clipped({ ...frame, box: strip }, () => {
    fillRates(frame, delivered, foot, y);
    context.beginPath();
    for (const { atSeconds, rate } of planned) context.lineTo(frame.x(atSeconds), y(rate));
    context.setLineDash([3 * ratio, 4 * ratio]);
    context.strokeStyle = palette.softInk;
    context.lineWidth = 1.6 * ratio;
    context.stroke();
    context.setLineDash([]);
  });
}

function fillRates(
  { context, palette, x }: ChartFrame,
  rates: readonly RatePoint[],
  foot: number,
  y: (rate: number) => number,
) {
  const first = rates[0];
  const last = rates.at(-1);
  if (!first || !last) return;
  context.beginPath();
  context.moveTo(x(first.atSeconds), foot);
  for (const { atSeconds, rate } of rates) context.lineTo(x(atSeconds), y(rate));
  context.lineTo(x(last.atSeconds), foot);
  context.fillStyle = palette.ink;
  context.globalAlpha = 0.85;
  context.fill();
  context.globalAlpha = 1;
}

/** A straight line. */
export function line(
  context: CanvasRenderingContext2D,
  fromX: number,
  fromY: number,
  toX: number,
  toY: number,
  color: string,
  width: number,
): void {
  context.beginPath();
  context.moveTo(fromX, fromY);
  context.lineTo(toX, toY);
  context.strokeStyle = color;
  context.lineWidth = width;
  context.stroke();
}

/** What is said of the vacuum: planned, measured, to come, or none because the bake is one in air. */
export function vacuumWord({ planned, actual, hectopascals, isMeasured, isStarted }: VacuumScene): string {
  if (!isStarted) return chartWords.vacuumPlanned;
  if (!planned && !actual)
    return hectopascals === null ? chartWords.inAir : chartWords.pressure(hectopascals);
  if (!isMeasured) return chartWords.vacuumNotMeasured;
  if (hectopascals !== null && isAir(hectopascals))
    return actual ? chartWords.nowAir(hectopascals) : chartWords.vacuumToCome(hectopascals);
  if (hectopascals !== null) return chartWords.pressure(hectopascals);
  return planned && !actual ? chartWords.noVacuum : chartWords.vacuumPlanned;
}

/** Left of the bars where it has room, else right of them, else at the edge on a patch of sheet. */
function writeBeside(
  frame: ChartFrame,
  strip: Box,
  word: string,
  spans: readonly (TimeWindow | null)[],
  middle: number,
) {
  const gap = 9 * frame.ratio;
  const width = textWidth(frame, word);
  const edge = strip.left + strip.width;
  const seen = spans.filter((span) => span !== null);
  const within = (x: number) => Math.min(Math.max(x, strip.left), edge);
  const left = within(Math.min(edge, ...seen.map((span) => frame.x(span.fromSeconds))));
  const right = within(Math.max(strip.left, ...seen.map((span) => frame.x(span.toSeconds))));
  if (seen.length === 0) write(frame, word, strip.left, middle, { baseline: "middle" });
  else if (left - gap - width >= strip.left)
    write(frame, word, left - gap, middle, { align: "right", baseline: "middle" });
  else if (right + gap + width <= edge) write(frame, word, right + gap, middle, { baseline: "middle" });
  else write(frame, word, strip.left, middle, { baseline: "middle", isOnSheet: true });
}
