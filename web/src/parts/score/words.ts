/** Words of the score: placed where nothing else stands, or left out. */

import type { Bar, Lane } from './lanes';

const FAMILY = "'Atkinson Hyperlegible', system-ui, sans-serif";
let pen: CanvasRenderingContext2D | null | undefined;
const widths = new Map<string, number>();

/** Width of a text in px, by the canvas; an estimate where there is none. */
export function widthOf(text: string, size: number, bold = false): number {
  const key = `${size}|${bold}|${text}`;
  const known = widths.get(key);
  if (known !== undefined) return known;
  if (pen === undefined) pen = document.createElement('canvas').getContext('2d');
  let width = text.length * size * 0.56;
  if (pen) {
    pen.font = `${bold ? 700 : 400} ${size}px ${FAMILY}`;
    width = pen.measureText(text).width;
  }
  if (widths.size > 4000) widths.clear();
  widths.set(key, width);
  return width;
}

/** Fonts that arrive later change every width. */
export function forgetWidths(): void {
  widths.clear();
}

export interface Word {
  text: string;
  x: number;
  anchor: 'start' | 'middle' | 'end';
  /** The bar it stands in; null: beside the notes, on the ground. */
  inside: Bar | null;
}

const PAD = 7;

export const named = (bar: Bar): string => `${bar.portions} ${bar.note.component_name}`;

const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/** Names of a load, longest first. By station each begins with its table, which is never left out. */
function names(lane: Lane, bar: Bar): string[] {
  if (lane.tables === null) return [named(bar), bar.note.component_name];
  return [`${lane.tables}: ${named(bar)}`, lane.tables];
}

/** Longest first. */
function choices(lane: Lane, bar: Bar, name: boolean): string[] {
  if (!name) return [bar.note.do];
  const [longest = '', ...others] = names(lane, bar);
  return [`${longest}, ${lower(bar.note.do)}`, longest, ...others];
}

/**
 * The words of one lane, all on one line. `x` gives the px of an instant, `left` and `right` the edges of what is seen.
 * The component is named once: in its first note that has room, else before the lane's first note, else behind
 * everything of the lane and clear of the `strokes` (px) of the landings. Other notes say what is done, where that fits.
 */
export function wordsOf(
  lane: Lane,
  x: (s: number) => number,
  left: number,
  right: number,
  size: number,
  strokes: readonly number[] = [],
): Word[] {
  const words: Word[] = [];
  let isNamed = false;
  for (const bar of lane.bars) {
    const from = Math.max(x(bar.from_s), left);
    const room = Math.min(x(bar.to_s), right) - from - 2 * PAD;
    const text = choices(lane, bar, !isNamed).find((choice) => widthOf(choice, size) <= room);
    if (text === undefined) continue;
    words.push({ text, x: from + PAD, anchor: 'start', inside: bar });
    isNamed = true;
  }
  const first = lane.bars[0];
  // What begins beyond the edge has no note to belong to yet.
  if (isNamed || first === undefined || x(first.from_s) > right) return words;
  return [...words.filter((word) => word.inside !== null), ...outside(lane, first, x, left, right, size, strokes)];
}

function outside(
  lane: Lane,
  first: Bar,
  x: (s: number) => number,
  left: number,
  right: number,
  size: number,
  strokes: readonly number[],
): Word[] {
  const start = Math.min(x(first.from_s), right);
  const before = start - left - 2 * PAD;
  const ends = [...lane.bars, lane.tail, lane.track].map((one) => (one ? x(one.to_s) : left));
  const end = Math.max(...ends);
  for (const text of names(lane, first)) {
    const width = widthOf(text, size);
    if (width <= before) return [{ text, x: start - PAD, anchor: 'end', inside: null }];
    // On a line that others share, what stands behind a note would be taken for the next one's.
    if (end <= left || Number.isFinite(lane.before_s)) continue;
    const free = strokes.find((stroke) => stroke > end - PAD && stroke < end + 2 * PAD + width) ?? end;
    if (width <= right - free - 2 * PAD) return [{ text, x: free + PAD + 3, anchor: 'start', inside: null }];
  }
  return [];
}
