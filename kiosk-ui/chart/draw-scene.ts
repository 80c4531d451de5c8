import type { CurvePoint } from "#core/heat/heat-work";
import { temperatureSplits } from "#kiosk-ui/chart/axis-splits";
import {
  type ChartFrame,
  clipped,
  drawBand,
  drawCurve,
  drawDifference,
  drawGap,
  drawPlan,
  textWidth,
  write,
} from "#kiosk-ui/chart/chart-frame";
import type { CelsiusRange, ChartScene } from "#kiosk-ui/chart/chart-scene";
import { chartWords } from "#kiosk-ui/chart/chart-words";
import { line } from "#kiosk-ui/chart/draw-strips";
import { type Box, type CanvasPoint, insetPlace, isClear } from "#kiosk-ui/chart/inset-place";
import { type TemperatureUnit, temperatureText } from "#kiosk-ui/format";

const TRACE_WIDTH = 3.6;
const OVERLAY_WIDTH = 2;

/** Everything that lies under the trace: gaps, band, area, stages, plan, and the second bake. */
export function drawUnderTrace(frame: ChartFrame, scene: ChartScene): void {
  clipped(frame, () => {
    for (const gap of scene.gaps) drawGap(frame, gap, chartWords.gap);
    drawBand(frame, scene.plan, scene.bandKelvin);
    drawDifference(frame, scene.areas);
    drawStages(frame, scene);
    drawPlan(frame, scene.plan);
    drawAhead(frame, scene);
    if (scene.overlay.length > 0)
      drawCurve(frame, scene.overlay, [], { color: frame.palette.softInk, width: OVERLAY_WIDTH });
  });
}

/**
 * Where the bake is going: a pale cone from the newest sample, cool below the plan and warm above, with a ring
 * at the peak where that is foreseen.
 */
function drawAhead(frame: ChartFrame, { ahead, areas, bandKelvin }: ChartScene) {
  if (!ahead) return;
  const { context, palette, x, y } = frame;
  const { from, kelvinPerSecond, spreadKelvinPerSecond, lengthSeconds, endsAtPeak } = ahead;
  const end = from.atSeconds + lengthSeconds;
  const last = areas.at(-1)?.points.at(-1);
  const differenceKelvin = last ? last.traceCelsius - last.referenceCelsius : 0;
  const isOnPlan = Math.abs(differenceKelvin) <= bandKelvin;
  context.beginPath();
  context.moveTo(x(from.atSeconds), y(from.celsius));
  for (const rate of [kelvinPerSecond + spreadKelvinPerSecond, kelvinPerSecond - spreadKelvinPerSecond])
    context.lineTo(x(end), y(from.celsius + rate * lengthSeconds));
  context.closePath();
  context.fillStyle = isOnPlan ? palette.softInk : differenceKelvin > 0 ? palette.warm : palette.cool;
  context.globalAlpha = 0.35;
  context.fill();
  context.globalAlpha = 1;
  if (endsAtPeak) drawRing(frame, x(end), y(from.celsius + kelvinPerSecond * lengthSeconds));
}

/** The newest sample of a running bake: a line down to its time, and a dot. */
export function drawNow(frame: ChartFrame, newest: CurvePoint): void {
  const { context, ratio, palette, box } = frame;
  const x = frame.x(newest.atSeconds);
  const y = frame.y(newest.celsius);
  if (x < box.left || x > box.left + box.width) return;
  line(context, x, y, x, box.top + box.height, palette.ink, 1.4 * ratio);
  drawDot(frame, x, y);
}

/** The top, close up, in a corner where it covers nothing; not drawn where there is none. */
export function drawTop(
  frame: ChartFrame,
  scene: ChartScene,
  unit: TemperatureUnit,
  wanted: { readonly width: number; readonly height: number },
  isLive: boolean,
): void {
  if (!scene.top) return;
  const { ratio } = frame;
  const size = { width: wanted.width * ratio, height: wanted.height * ratio };
  const box = insetPlace(frame.box, linesOf(frame, scene), size, 12 * ratio);
  if (!box) return;
  const closeUp = closeUpFrame(frame, box, scene.top);
  if (textWidth(closeUp, chartWords.topCloseUp) + 24 * ratio > box.width) return;
  const { context } = frame;
  context.save();
  context.beginPath();
  context.roundRect(box.left, box.top, box.width, box.height, 8 * ratio);
  context.fillStyle = frame.palette.ground;
  context.fill();
  context.clip();
  drawCloseUp(closeUp, scene, scene.top.range, unit, isLive);
  context.restore();
}

/** The close-up's own scales; its title keeps a line of its own at the top. */
function closeUpFrame(outer: ChartFrame, box: Box, { window, range }: NonNullable<ChartScene["top"]>) {
  const fontPixels = Math.max(13, outer.fontPixels - 1);
  const titleHeight = fontPixels * outer.ratio * 1.8;
  const pixelsPerSecond = box.width / (window.toSeconds - window.fromSeconds);
  const pixelsPerKelvin = (box.height - titleHeight) / (range.toCelsius - range.fromCelsius);
  return {
    ...outer,
    fontPixels,
    box,
    x: (atSeconds: number) => box.left + (atSeconds - window.fromSeconds) * pixelsPerSecond,
    y: (celsius: number) => box.top + titleHeight + (range.toCelsius - celsius) * pixelsPerKelvin,
  };
}

function drawCloseUp(
  frame: ChartFrame,
  scene: ChartScene,
  range: CelsiusRange,
  unit: TemperatureUnit,
  isLive: boolean,
) {
  const { context, ratio, palette, box } = frame;
  const splits = temperatureSplits(range, box.height / ratio / 34, unit);
  for (const celsius of splits)
    line(context, box.left, frame.y(celsius), box.left + box.width, frame.y(celsius), palette.line, ratio);
  drawBand({ ...frame, palette: { ...palette, band: palette.line } }, scene.plan, scene.bandKelvin);
  drawDifference(frame, scene.areas);
  drawPlan(frame, scene.plan);
  drawAhead(frame, scene);
  drawCurve(frame, scene.overlay, [], { color: palette.softInk, width: OVERLAY_WIDTH });
  drawCurve(frame, scene.trace, scene.gaps, { color: palette.ink, width: TRACE_WIDTH - 0.6 });
  if (isLive && scene.newest) drawDot(frame, frame.x(scene.newest.atSeconds), frame.y(scene.newest.celsius));
  write(frame, chartWords.topCloseUp, box.left + 12 * ratio, box.top + frame.fontPixels * ratio * 1.35);
  drawSplitWords(frame, splits, unit, linesOf(frame, scene));
}

/** Temperatures above their lines, all on the side where fewer curves pass through them. */
function drawSplitWords(
  frame: ChartFrame,
  splits: readonly number[],
  unit: TemperatureUnit,
  lines: readonly (readonly CanvasPoint[])[],
) {
  const { box, ratio } = frame;
  const margin = 12 * ratio;
  const height = frame.fontPixels * ratio;
  const words = splits
    .map((celsius) => ({ text: temperatureText(celsius, unit), foot: frame.y(celsius) - 3 * ratio }))
    .filter(({ foot }) => foot - height >= box.top + height * 1.8);
  const onSide = (isLeft: boolean) =>
    words.map(({ text, foot }) => {
      const width = textWidth(frame, text);
      const left = isLeft ? box.left + margin : box.left + box.width - margin - width;
      const place = { left: left - ratio, top: foot - height, width: width + 2 * ratio, height };
      return { text, left, foot, isClear: isClear(place, lines) };
    });
  const clearCount = (side: ReturnType<typeof onSide>) => side.filter(({ isClear }) => isClear).length;
  const [left, right] = [onSide(true), onSide(false)];
  const side = clearCount(right) > clearCount(left) ? right : left;
  const patched = { ...frame, palette: { ...frame.palette, sheet: frame.palette.ground } };
  const clear = side.filter(({ isClear }) => isClear);
  for (const { text, left, foot, isClear } of clear.length > 0 ? clear : side.slice(-1))
    write(patched, text, left, foot, { isOnSheet: !isClear });
}

/** The curves as they lie on the canvas. */
function linesOf({ x, y }: ChartFrame, { plan, trace, overlay }: ChartScene): CanvasPoint[][] {
  return [plan, trace, overlay].map((curve) =>
    curve.map(({ atSeconds, celsius }) => ({ x: x(atSeconds), y: y(celsius) })),
  );
}

function drawStages(frame: ChartFrame, { stages, window }: ChartScene) {
  const { context, ratio, palette, box, x } = frame;
  context.setLineDash([ratio, 5 * ratio]);
  for (const { fromSeconds } of stages)
    if (fromSeconds > window.fromSeconds && fromSeconds < window.toSeconds)
      line(context, x(fromSeconds), box.top, x(fromSeconds), box.top + box.height, palette.softInk, ratio);
  context.setLineDash([]);
}

function drawRing({ context, ratio, palette }: ChartFrame, x: number, y: number) {
  context.beginPath();
  context.arc(x, y, 5 * ratio, 0, 2 * Math.PI);
  context.fillStyle = palette.sheet;
  context.fill();
  context.strokeStyle = palette.ink;
  context.lineWidth = 2 * ratio;
  context.stroke();
}

function drawDot({ context, ratio, palette }: ChartFrame, x: number, y: number) {
  context.beginPath();
  context.arc(x, y, 7.5 * ratio, 0, 2 * Math.PI);
  context.fillStyle = palette.ink;
  context.fill();
}
