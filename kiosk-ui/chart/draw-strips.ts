import type { TimeWindow } from "#core/trace/decimate";
import { type ChartFrame, textWidth, write } from "#kiosk-ui/chart/chart-frame";
import type { RatePoint, VacuumScene } from "#kiosk-ui/chart/chart-scene";
import { chartWords } from "#kiosk-ui/chart/chart-words";
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
  writeBeside(frame, strip, vacuumWord(vacuum), vacuum.planned ?? vacuum.actual, middle);
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
  const room = strip.height - frame.fontPixels * ratio * 0.6;
  const most = Math.max(1, ...[...planned, ...delivered].map(({ rate }) => rate));
  const y = (rate: number) => foot - (rate / most) * room;
  line(context, strip.left, foot, strip.left + strip.width, foot, palette.line, ratio);
  context.beginPath();
  const first = delivered[0];
  const last = delivered.at(-1);
  if (first && last) {
    context.moveTo(frame.x(first.atSeconds), foot);
    for (const { atSeconds, rate } of delivered) context.lineTo(frame.x(atSeconds), y(rate));
    context.lineTo(frame.x(last.atSeconds), foot);
    context.fillStyle = palette.ink;
    context.globalAlpha = 0.85;
    context.fill();
    context.globalAlpha = 1;
  }
  context.beginPath();
  for (const { atSeconds, rate } of planned) context.lineTo(frame.x(atSeconds), y(rate));
  context.setLineDash([3 * ratio, 4 * ratio]);
  context.strokeStyle = palette.softInk;
  context.lineWidth = 1.6 * ratio;
  context.stroke();
  context.setLineDash([]);
  write(frame, chartWords.heatWorkStrip, strip.left, strip.top + frame.fontPixels * ratio * 0.9, {
    baseline: "alphabetic",
  });
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

function vacuumWord({ planned, actual, hectopascals, isMeasured }: VacuumScene): string {
  if (!isMeasured) return chartWords.vacuumNotMeasured;
  if (hectopascals !== null) return chartWords.vacuum(hectopascals);
  return planned && !actual ? chartWords.noVacuum : chartWords.vacuumPlanned;
}

/** Left of the bar where it has room, else right of it, else at the edge on a patch of sheet. */
function writeBeside(frame: ChartFrame, strip: Box, word: string, span: TimeWindow | null, middle: number) {
  const gap = 9 * frame.ratio;
  const width = textWidth(frame, word);
  const left = span ? Math.max(frame.x(span.fromSeconds), strip.left) : strip.left + width + gap;
  const right = span ? Math.min(frame.x(span.toSeconds), strip.left + strip.width) : strip.left;
  if (left - gap - width >= strip.left)
    write(frame, word, left - gap, middle, { align: "right", baseline: "middle" });
  else if (right + gap + width <= strip.left + strip.width)
    write(frame, word, right + gap, middle, { baseline: "middle" });
  else write(frame, word, strip.left, middle, { baseline: "middle", isOnSheet: true });
}
