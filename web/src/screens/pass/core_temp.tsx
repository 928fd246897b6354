import { useState } from 'preact/hooks';
import { acts, label } from '../../actions/registry';
import { ask } from '../../board/doing';
import type { CheckLine, CourseView } from '../../wire/messages';
import { say } from '../../words/say';

/** One line of the check with a core temperature to write down: one reading for each load of the component. */
export function CoreTemp({ course, line }: { course: CourseView; line: CheckLine }) {
  const [text, write] = useState('');
  const step = line.steps[0];
  const component = course.notes.find((note) => note.id === step)?.component_name ?? '';
  const celsius = Number(text.replace(',', '.'));
  const fine = text.trim() !== '' && Number.isFinite(celsius);
  if (step === undefined) return <span>{line.words}</span>;
  return (
    <form
      class="core-temp"
      onSubmit={(event) => {
        event.preventDefault();
        if (!fine) return;
        void ask(
          acts.read.command(step, celsius),
          say('pass.did.read', { table: course.table, celsius: String(celsius) }),
        );
        write('');
      }}
    >
      <label>
        {line.words}
        <input
          inputMode="decimal"
          size={5}
          value={text}
          aria-label={say('pass.celsius', { component })}
          onInput={(event) => write(event.currentTarget.value)}
        />
      </label>
      <button type="submit" disabled={!fine}>
        {label(acts.read)}
      </button>
    </form>
  );
}
