import { useState } from 'preact/hooks';
import { loadsOf } from '../../board/course';
import { ask } from '../../board/doing';
import { kitchen } from '../../board/kitchen';
import type { CourseView, HeldView } from '../../wire/messages';
import { type Key, say } from '../../words/say';
import { AllergyTold } from './allergy_told';
import { CoreTemp } from './core_temp';
import { Away, Moving } from './moving';
import { cooks } from './opened';
import { OwnTimes } from './own_times';
import { Plates, PlateWords } from './plates';
import { Sheet } from './sheet';
import { TableMoved } from './table_moved';
import { WhatIf, Why } from './why_then';

type Part = 'all' | 'again' | 'plates' | 'allergy' | 'table' | 'cues';

const TITLES: Record<Exclude<Part, 'all'>, Key> = {
  again: 'pass.cook_again',
  plates: 'sheet.plates',
  allergy: 'sheet.allergy',
  table: 'sheet.table',
  cues: 'sheet.cues',
};

interface CourseDialogProps {
  course: CourseView | HeldView;
  /** Tables with food open: there a table is put together with another. */
  tables: readonly string[];
  onClose: () => void;
}

/** What can be done with one course, and why it lands when it does. The chef decides, so nothing here argues. */
export function CourseDialog({ course, tables, onClose }: CourseDialogProps) {
  const [part, show] = useState<Part>('all');
  const { table, course: name } = course;
  const at = `${say('Table', { table })} · ${name}`;
  return (
    <Sheet
      title={part === 'all' ? at : `${at} · ${(say as (key: Key) => string)(TITLES[part])}`}
      label={say('pass.open', { table, course: name })}
      onClose={onClose}
      onBack={part === 'all' ? undefined : () => show('all')}
      wide={part === 'all' && cooks(course)}
    >
      {part === 'plates' && <Plates course={course} onDone={onClose} />}
      {part === 'allergy' && <AllergyTold course={course} onDone={onClose} />}
      {part === 'table' && <TableMoved course={course} open={tables} onDone={onClose} />}
      {part === 'cues' && cooks(course) && <OwnTimes course={course} />}
      {part === 'again' && cooks(course) && <Again course={course} onDone={onClose} />}
      {part === 'all' && (
        <div class={cooks(course) ? 'two-columns' : ''}>
          <div class="facts">
            <ul class="dialog-dishes">
              {course.dishes.map((dish) => (
                <li key={dish.dish + dish.seat + dish.note}>
                  <PlateWords dish={dish} />
                </li>
              ))}
            </ul>
            {cooks(course) && course.checks.length > 0 && <Checks course={course} />}
            {cooks(course) && <Why course={course} />}
            {cooks(course) && !course.at_pass && <WhatIf course={course} />}
          </div>
          <section class="acts">
            {cooks(course) && !course.at_pass && <Hold course={course} onDone={onClose} />}
            {cooks(course) && !course.at_pass && <Moving course={course} onDone={onClose} />}
            <Away course={course} onDone={onClose} />
            {cooks(course) && (
              <Opener
                name="pass.cook_again"
                says="pass.cook_again_says"
                off={!course.notes.some((note) => note.state === 'started' || note.state === 'done')}
                open={() => show('again')}
              />
            )}
            <Opener name="sheet.plates" says="sheet.plates_says" open={() => show('plates')} />
            <Opener name="sheet.allergy" says="sheet.allergy_says" open={() => show('allergy')} />
            <Opener name="sheet.table" says="sheet.table_says" open={() => show('table')} />
            {cooks(course) && !course.at_pass && (
              <Opener name="sheet.cues" says="sheet.cues_says" open={() => show('cues')} />
            )}
          </section>
        </div>
      )}
    </Sheet>
  );
}

interface OpenerProps {
  name: Key;
  says: Key;
  off?: boolean;
  open: () => void;
}

function Opener({ name, says, off = false, open }: OpenerProps) {
  const words = say as (key: Key) => string;
  return (
    <button type="button" disabled={off} onClick={open}>
      <b>{words(name)}</b>
      <small>{words(says)}</small>
    </button>
  );
}

function Hold({ course, onDone }: { course: CourseView; onDone: () => void }) {
  const { id, table, course: name } = course;
  const hold = () => {
    void ask({ kind: 'hold_course', course_id: id }, say('pass.did.hold', { table, course: name }));
    onDone();
  };
  return (
    <button type="button" onClick={hold}>
      <b>{say('pass.hold')}</b>
      <small>{say('pass.hold_says')}</small>
    </button>
  );
}

function Checks({ course }: { course: CourseView }) {
  return (
    <section>
      <h3>{say('pass.all_there')}</h3>
      <ul>
        {course.checks.map((line) => (
          <li key={line.words} class="figures">
            {line.kind === 'core_temp' ? (
              <CoreTemp course={course} line={line} />
            ) : (
              <span class={line.kind === 'allergy' ? 'allergy' : ''}>{line.words}</span>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Which part was lost: what has begun of it is cooked afresh. */
function Again({ course, onDone }: { course: CourseView; onDone: () => void }) {
  const stations = kitchen.value?.stations ?? [];
  const again = (load: string, component: string) => {
    void ask({ kind: 'cook_again', load }, say('pass.did.again', { table: course.table, component }));
    onDone();
  };
  return (
    <section>
      <p>{say('pass.cook_again_says')}</p>
      <ul class="again">
        {loadsOf(course.notes).map((load) => (
          <li key={load.load_id}>
            <button type="button" disabled={!load.begun} onClick={() => again(load.load_id, load.component)}>
              {say('pass.cook_again_load', { n: load.portions, component: load.component })}
              <small>{stations.find((station) => station.id === load.station)?.name ?? load.station}</small>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
