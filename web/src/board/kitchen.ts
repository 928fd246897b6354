/** What does not change during a service: the kitchen, its stations, its book. Fetched once a page. */

import { type ReadonlySignal, signal } from '@preact/signals';
import { kitchenZone } from '../clock/say_time';
import type { BookDish, KitchenInfo } from '../wire/messages';

const info = signal<KitchenInfo | null>(null);
const dishes = signal<BookDish[] | null>(null);

/** The kitchen, once it is known. */
export const kitchen: ReadonlySignal<KitchenInfo | null> = info;
/** The book, once `loadBook` has been answered. */
export const book: ReadonlySignal<BookDish[] | null> = dishes;

async function fetched<T>(path: string): Promise<T> {
  for (let wait_ms = 300; ; wait_ms = Math.min(wait_ms * 2, 5000)) {
    try {
      const reply = await fetch(path);
      if (reply.ok) return (await reply.json()) as T;
    } catch {
      // out of touch: ask again
    }
    await new Promise((after) => setTimeout(after, wait_ms));
  }
}

/** Fetches the kitchen and sets the zone that times of day are said in; asks again until it is answered. */
export async function loadKitchen(): Promise<void> {
  info.value = await fetched<KitchenInfo>('/api/kitchen');
  kitchenZone.value = info.value.timezone;
}

export async function loadBook(): Promise<void> {
  dishes.value = await fetched<BookDish[]>('/api/book');
}
