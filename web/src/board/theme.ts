/** Dark for a dim kitchen, light for a bright one; this device remembers. */

import { effect, signal } from '@preact/signals';

export type Theme = 'dark' | 'light';

const KEY = 'kitchen-timer.theme';

function remembered(): Theme {
  try {
    return localStorage.getItem(KEY) === 'light' ? 'light' : 'dark';
  } catch {
    return 'dark';
  }
}

export const theme = signal<Theme>(remembered());

export function turnTheme(): void {
  theme.value = theme.value === 'dark' ? 'light' : 'dark';
  try {
    localStorage.setItem(KEY, theme.value);
  } catch {
    // a browser that keeps nothing: the choice lasts as long as the page
  }
}

/** Writes the theme on the document, now and whenever it turns. */
export function wearTheme(): void {
  effect(() => {
    document.documentElement.dataset.theme = theme.value;
    const ground = theme.value === 'dark' ? '#101216' : '#f4f1ea';
    document.querySelector('meta[name="theme-color"]')?.setAttribute('content', ground);
  });
}
