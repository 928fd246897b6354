import { signal } from '@preact/signals';

export type By = 'table' | 'station';

const KEY = 'kitchen-timer pass by';

function remembered(): By {
  try {
    return localStorage.getItem(KEY) === 'station' ? 'station' : 'table';
  } catch {
    return 'table';
  }
}

/** Which way this display reads the score; it remembers. */
export const by = signal<By>(remembered());

export function turnBy(): void {
  by.value = by.value === 'table' ? 'station' : 'table';
  try {
    localStorage.setItem(KEY, by.value);
  } catch {
    // a browser that keeps nothing: the choice lasts as long as the page
  }
}
