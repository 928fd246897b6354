import { useEffect } from 'preact/hooks';
import { acts } from '../../actions/registry';
import { ask } from '../../board/doing';
import { book, kitchen, loadBook } from '../../board/kitchen';
import { seconds, timeOfDay } from '../../clock/say_time';
import type { PassBoard, StationInfo } from '../../wire/messages';
import { say } from '../../words/say';
import { PartOff } from './part_off';
import { Sheet } from './sheet';
import { Stepper } from './stepper';

const NEXT = 4;

/** A station tonight: its cooks, its equipment, what is off of its parts, and what it starts next. */
export function StationSheet({
  station,
  board,
  onClose,
}: {
  station: StationInfo;
  board: PassBoard;
  onClose: () => void;
}) {
  useEffect(() => void loadBook(), []);
  const { id, name } = station;
  const has = (kind: 'cooks' | 'slots', of: string, written: number) =>
    board.short.find((one) => one.kind === kind && one.id === of)?.has ?? written;
  const equipment = (kitchen.value?.equipment ?? []).filter((one) => one.stations.includes(id));
  const parts = new Set(
    (book.value ?? []).flatMap((dish) =>
      dish.components.filter((part) => part.station === id).map((part) => part.name),
    ),
  );
  return (
    <Sheet title={name} label={say('sheet.station_open', { station: name })} onClose={onClose}>
      <Stepper
        what={say('sheet.cooks_here')}
        has={has('cooks', id, station.cooks)}
        of={station.cooks}
        onSet={(n) => void ask(acts.cooks.command(id, n), say('did.cooks', { station: name, n }))}
      />
      {equipment.map((one) => (
        <Stepper
          key={one.id}
          what={say('sheet.slots_of', { equipment: one.name })}
          has={has('slots', one.id, one.slots)}
          of={one.slots}
          onSet={(n) => void ask(acts.slots.command(one.id, n), say('did.slots', { equipment: one.name, n }))}
        />
      ))}
      <section>
        <h3>{say('sheet.station_next')}</h3>
        <Next station={id} board={board} />
      </section>
      <section>
        <h3>{say('sheet.parts')}</h3>
        <ul class="off-lines">
          {[...parts].map((part) => (
            <li key={part}>
              <span>{part}</span>
              <PartOff part={part} off={board.off.some((one) => one.component === part)} />
            </li>
          ))}
        </ul>
      </section>
    </Sheet>
  );
}

function Next({ station, board }: { station: string; board: PassBoard }) {
  const next = board.courses
    .flatMap((course) => course.notes)
    .filter((note) => note.station === station && (note.state === 'planned' || note.state === 'announced'))
    .sort((a, b) => seconds(a.start_at) - seconds(b.start_at))
    .slice(0, NEXT);
  if (next.length === 0) return <p class="quiet">{say('sheet.station_nothing')}</p>;
  return (
    <ul class="figures">
      {next.map((note) => (
        <li key={note.id}>
          <b>{timeOfDay(note.start_at)}</b> {note.do} · {note.portions} {note.component_name} ·{' '}
          {say('table', { table: note.table })}
        </li>
      ))}
    </ul>
  );
}
