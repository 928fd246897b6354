import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { colourOf } from '../../src/board/colours';

/** Relative luminance and contrast as WCAG 2.2 defines them (w3.org/TR/WCAG22, "relative luminance", "contrast ratio"). */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(a: string, b: string): number {
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

const stations = ['larder', 'fish', 'meat', 'garnish', 'fry', 'pastry', 'cold'].map((id) => ({ id, name: id }));

test('the contrast formula gives the 21:1 of black on white that WCAG names', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
});

test('each station has a colour of its own, out of the palette of Okabe and Ito', () => {
  // Okabe and Ito, "Color Universal Design" (2008), RGB in per cent: 0/45/70, 35/70/90, 0/60/50, 95/90/25, 90/60/0, 80/40/0, 80/60/70
  const published = [
    [0, 114, 178],
    [86, 180, 233],
    [0, 158, 115],
    [240, 228, 66],
    [230, 159, 0],
    [213, 94, 0],
    [204, 121, 167],
  ].map((rgb) => `#${rgb.map((c) => c.toString(16).padStart(2, '0')).join('')}`.toUpperCase());
  const ours = stations.map((station) => colourOf(station.id, stations).fill);
  expect([...ours].sort()).toEqual([...published].sort());
});

test('words on a solid note read at 4.5:1 or better', () => {
  for (const station of stations) {
    const colour = colourOf(station.id, stations);
    expect(contrast(colour.fill, colour.ink)).toBeGreaterThanOrEqual(4.5);
  }
});

test('ink and quiet ink read at 7:1 or better on both grounds, the raised ones too', () => {
  const css = readFileSync(new URL('../../src/styles/base.css', import.meta.url), 'utf8');
  for (const block of css.split(/data-theme=.light/)) {
    const named = (name: string) => block.match(new RegExp(`--${name}: (#[0-9a-f]{6})`))?.[1] ?? '#000000';
    for (const ground of ['ground', 'raised', 'press'])
      for (const ink of ['ink', 'quiet'])
        expect(contrast(named(ground), named(ink)), `${ink} on ${ground}`).toBeGreaterThanOrEqual(
          ground === 'press' ? 4.5 : 7,
        );
    expect(contrast(named('block-ground'), named('block-ink'))).toBeGreaterThanOrEqual(7);
  }
});
