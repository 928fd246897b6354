import { type Key, say } from '../../words/say';

const KEYS: readonly Key[] = [
  'order.key.table',
  'order.key.call',
  'order.key.marks',
  'order.key.next',
  'order.key.take',
  'order.key.line',
];

/** The keys, on the page where they are used. */
export function Keys() {
  const words = say as (key: Key) => string;
  return (
    <aside class="keys">
      <h3>{say('order.keys')}</h3>
      <ul>
        {KEYS.map((key) => (
          <li key={key}>{words(key)}</li>
        ))}
      </ul>
    </aside>
  );
}
