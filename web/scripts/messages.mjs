// Writes src/wire/messages.ts from the server's own JSON Schema; with --check says whether it is up to date.
//   npm run messages                 (Python with the package: $PYTHON, ../.venv or python3)
//   npm run messages -- --check
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { compile } from 'json-schema-to-typescript';

const web = resolve(dirname(fileURLToPath(import.meta.url)), '..');
const target = join(web, 'src/wire/messages.ts');
const own = join(web, '../.venv/bin/python');
const python = process.env.PYTHON ?? (existsSync(own) ? own : 'python3');

const schema = JSON.parse(
  execFileSync(python, ['-m', 'kitchen_timer.server.schema'], { cwd: join(web, '..'), maxBuffer: 2 ** 26 }).toString(),
);

/** Titles would name every string anew ("Name1", "Table7"); only the messages in $defs are types of their own. */
function untitled(node) {
  if (Array.isArray(node)) return node.map(untitled);
  if (node === null || typeof node !== 'object') return node;
  const entries = Object.entries(node).filter(([key, value]) => !(key === 'title' && typeof value === 'string'));
  const plain = Object.fromEntries(entries.map(([key, value]) => [key, untitled(value)]));
  if (plain.type === 'array' && plain.prefixItems) {
    // a tuple, in the words of the draft that the generator reads
    return { type: 'array', items: plain.prefixItems, minItems: plain.minItems, maxItems: plain.maxItems };
  }
  if (plain.type === 'array' && !plain.prefixItems) {
    // every list is an array, however short or long it may be
    delete plain.minItems;
    delete plain.maxItems;
  }
  return plain;
}

const definitions = Object.fromEntries(Object.entries(schema.$defs).map(([name, shape]) => [name, untitled(shape)]));
const moved = JSON.parse(JSON.stringify(definitions).replaceAll('#/$defs/', '#/definitions/'));

const generated = await compile(
  {
    title: 'Wire',
    type: 'object',
    additionalProperties: false,
    definitions: moved,
    required: Object.keys(moved),
    properties: Object.fromEntries(Object.keys(moved).map((name) => [name, { $ref: `#/definitions/${name}` }])),
  },
  'Wire',
  {
    additionalProperties: false,
    bannerComment: '// Written by `npm run messages` from `python -m kitchen_timer.server.schema`: change it there.',
    format: true,
    style: { singleQuote: true, printWidth: 120 },
  },
);

const text = `${generated.trimEnd()}

/** An instant, RFC 3339. */
export type Instant = string;
export type NoteState = NoteView['state'];
export type Command = CommandMessage['command'];
export type Land = NonNullable<CourseAsked['land']>;
export type PlateAsked = Plate;
export type StationName = Pick<StationInfo, 'id' | 'name'>;
export type BookDish = DishInfo;
export type BookComponent = ComponentInfo;
export type Fault = FaultView;
`;

if (process.argv.includes('--check')) {
  if (readFileSync(target, 'utf8') !== text) {
    console.error('src/wire/messages.ts is not what the server says: run `npm run messages`.');
    process.exit(1);
  }
} else {
  writeFileSync(target, text);
}
