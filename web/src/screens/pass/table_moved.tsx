import { useState } from 'preact/hooks';
import { acts, label } from '../../actions/registry';
import { ask } from '../../board/doing';
import { say } from '../../words/say';
import type { Opened } from './opened';

/** A table's guests sit elsewhere now; where food is open already, the two are put together. */
export function TableMoved({ course, open, onDone }: { course: Opened; open: readonly string[]; onDone: () => void }) {
  const [text, write] = useState('');
  const { table } = course;
  const to = text.trim();
  const taken = open.includes(to) && to !== table;
  const fine = to !== '' && to !== table;
  const move = () => {
    if (taken) void ask(acts.merge.command(table, to), say('did.merge', { table, to }));
    else void ask(acts.seat.command(table, to), say('did.seat', { table, to }));
    onDone();
  };
  return (
    <form
      class="told"
      onSubmit={(event) => {
        event.preventDefault();
        if (fine) move();
      }}
    >
      <label>
        {say('sheet.table_to')}
        <input
          class="table-to figures"
          value={text}
          maxLength={12}
          inputMode="numeric"
          autoComplete="off"
          onInput={(event) => write(event.currentTarget.value)}
        />
      </label>
      <p role="status">{taken && say('sheet.table_taken', { table: to })}</p>
      <button type="submit" class="main-act" disabled={!fine}>
        {label(taken ? acts.merge : acts.seat)}
      </button>
    </form>
  );
}
