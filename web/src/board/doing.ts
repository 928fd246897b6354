/** What was just asked for on this screen, and how to take it back; refusals in the server's words. */

import { type ReadonlySignal, signal } from '@preact/signals';
import type { Command } from '../wire/messages';
import { send } from '../wire/socket';

export interface Done {
  words: string;
  /** What takes it back; null: it was refused, or is itself a taking back. */
  seq: number | null;
  refused: boolean;
}

/** Every act can be taken back this long by one touch where it was done. */
const SHOWN_MS = 10_000;

const latest = signal<Done | null>(null);
let timer: ReturnType<typeof setTimeout> | undefined;

/** The last thing done here, for ten seconds. */
export const justDone: ReadonlySignal<Done | null> = latest;

function show(done: Done): void {
  latest.value = done;
  clearTimeout(timer);
  timer = setTimeout(() => {
    latest.value = null;
  }, SHOWN_MS);
}

/** Hands a command in and shows `words` once the kitchen has it, or why it was refused. */
export async function ask(command: Command, words: string): Promise<void> {
  const reply = await send(command);
  if (reply.ok) show({ words, seq: command.kind === 'undo' ? null : reply.seq, refused: false });
  else show({ words: reply.problem.detail || reply.problem.title, seq: null, refused: true });
}
