// @vitest-environment happy-dom
import { expect, test } from 'vitest';
import { type Lane, lanesOf } from '../../src/parts/score/lanes';
import { type Word, widthOf, wordsOf } from '../../src/parts/score/words';
import { at, note, T } from './notes';

const SIZE = 14;
const x = (s: number) => (s - T(0)) * 1.6;

const lane = (...notes: Parameters<typeof lanesOf>[0]): Lane => lanesOf(notes, T(0))[0] as Lane;
const span = (word: Word): [number, number] => {
  const width = widthOf(word.text, SIZE);
  return word.anchor === 'end' ? [word.x - width, word.x] : [word.x, word.x + width];
};

test('a long note holds the component and what is done', () => {
  const words = wordsOf(lane(note('Brill', 100, 340, { do: 'Skin side down' })), x, 0, 1000, SIZE);
  expect(words.map((word) => word.text)).toEqual(['2 Brill, skin side down']);
});

test('the component is named once and the later notes say what is done', () => {
  const words = wordsOf(
    lane(note('Brill', 100, 340, { do: 'Skin side down' }), note('Brill', 340, 420)),
    x,
    0,
    1000,
    SIZE,
  );
  expect(words.map((word) => word.text)).toEqual(['2 Brill, skin side down', 'Turn']);
});

test('words too long for a short note stand before it', () => {
  const [word] = wordsOf(lane(note('Lemon leaves', 300, 318)), x, 0, 1000, SIZE);
  expect(word).toMatchObject({ text: '2 Lemon leaves', anchor: 'end', inside: null });
  expect(word?.x).toBeLessThanOrEqual(x(T(300)));
});

test('without room before it they stand behind everything of the lane', () => {
  const tail = { last: true, stands_until: at(60), keeps_until: at(100) };
  const [word] = wordsOf(lane(note('Lemon leaves', 0, 18, tail)), x, 0, 1000, SIZE);
  expect(word?.anchor).toBe('start');
  expect(word?.x).toBeGreaterThanOrEqual(x(T(100)));
});

test('words behind a lane stand clear of the stroke of the landing', () => {
  const tail = { last: true, stands_until: at(60), keeps_until: at(40) };
  const stroke = x(T(62));
  const [word] = wordsOf(lane(note('Lemon leaves', 0, 18, tail)), x, 0, 1000, SIZE, [stroke]);
  expect(word?.x).toBeGreaterThan(stroke);
});

test('with room nowhere they are left out', () => {
  expect(wordsOf(lane(note('Lemon leaves', 0, 18)), x, 0, 60, SIZE)).toEqual([]);
});

test('words of a note half gone stand in the half that is seen', () => {
  const [word] = wordsOf(lane(note('Brill', -600, 300)), x, -100, 1000, SIZE);
  expect(word?.x).toBeGreaterThanOrEqual(-100);
});

test('no words ever overlap one another, another note or the edge of what is seen', () => {
  for (let from = -400; from < 700; from += 7) {
    for (const lengths of [[20, 20, 20], [240, 60, 60], [12], [780, 180, 480, 30], [60, 8]]) {
      let begin = from;
      const notes = lengths.map((length, i) => {
        const one = note('Duck breast', begin, begin + length, {
          do: i === 0 ? 'Render slowly' : 'Rest',
          ...(i === lengths.length - 1 && {
            last: true,
            stands_until: at(begin + length + 25),
            keeps_until: at(begin + length + 90),
          }),
        });
        begin += length;
        return one;
      });
      const one = lane(...notes);
      const words = wordsOf(one, x, -100, 900, SIZE);
      for (const word of words) {
        const [left, right] = span(word);
        expect(left).toBeGreaterThanOrEqual(-100);
        expect(right).toBeLessThanOrEqual(900);
        const stands = [...one.bars.map((bar) => [bar.from_s, bar.to_s, bar] as const)];
        for (const [from_s, to_s, bar] of stands) {
          if (bar === word.inside) {
            expect(left).toBeGreaterThanOrEqual(x(from_s));
            expect(right).toBeLessThanOrEqual(x(to_s));
          } else expect(right <= x(from_s) || left >= x(to_s)).toBe(true);
        }
        for (const other of words.filter((w) => w !== word)) {
          const [a, b] = span(other);
          expect(right <= a || left >= b).toBe(true);
        }
      }
    }
  }
});
