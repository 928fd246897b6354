/** Which screen an address is. A screen is a folder of screens/ whose index.tsx has the page as its default export. */

import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { say } from '../words/say';

export interface PageProps {
  /** The station of a station page. */
  station?: string;
}

type Screen = { default: ComponentType<PageProps> };

const screens = import.meta.glob<Screen>('../screens/*/index.tsx');

export interface Route extends PageProps {
  screen: string;
}

/** `/` front, `/pass`, `/order`, `/book`, `/station/<id>`; anything else is the front page. */
export function routeOf(path: string): Route {
  const [first = '', second = ''] = path.split('/').filter(Boolean);
  if (first === 'station' && second) return { screen: 'station', station: decodeURIComponent(second) };
  return { screen: first === 'pass' || first === 'order' || first === 'book' ? first : 'front' };
}

export function App({ path }: { path: string }) {
  const { screen, station } = routeOf(path);
  const [Page, show] = useState<ComponentType<PageProps> | null>(null);
  useEffect(() => {
    void screens[`../screens/${screen}/index.tsx`]?.().then((found) => show(() => found.default));
  }, [screen]);
  return Page === null ? <p class="opening">{say('loading')}</p> : <Page {...(station !== undefined && { station })} />;
}
