import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import { expect, test } from 'vitest';

const SRC = resolve(import.meta.dirname, '../src');

/** A folder imports from its own and from those named here: screens over parts and actions over board over clock and wire. */
const MAY: Record<string, readonly string[]> = {
  words: [],
  clock: [],
  wire: ['clock'],
  board: ['clock', 'wire', 'words'],
  alarm: ['board', 'clock', 'wire', 'words'],
  actions: ['board', 'clock', 'wire', 'words', 'alarm'],
  parts: ['board', 'clock', 'wire', 'words'],
  pwa: [],
  screens: ['pwa', 'parts', 'actions', 'alarm', 'board', 'clock', 'wire', 'words'],
};

const files = readdirSync(SRC, { recursive: true, encoding: 'utf8' }).filter((file) => /\.tsx?$/.test(file));

test('rooms import only what lies below them', () => {
  const wrong: string[] = [];
  for (const file of files) {
    const [room = ''] = file.split('/');
    const may = MAY[room];
    if (may === undefined) continue; // app and main.tsx put everything together
    const text = readFileSync(join(SRC, file), 'utf8');
    for (const [, path = ''] of text.matchAll(/from '(\.[^']+)'/g)) {
      const [other = ''] = relative(SRC, resolve(SRC, file, '..', path)).split('/');
      if (other !== room && !may.includes(other)) wrong.push(`${file} imports ${path}`);
    }
  }
  expect(wrong).toEqual([]);
});

test('no file is longer than 400 lines', () => {
  const long = files.filter(
    (file) => !file.endsWith('messages.ts') && readFileSync(join(SRC, file), 'utf8').split('\n').length > 400,
  );
  expect(long).toEqual([]);
});
