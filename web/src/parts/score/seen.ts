import type { RefObject } from 'preact';
import { useLayoutEffect, useState } from 'preact/hooks';

/** Px beyond the edge of the screen at which a score begins to be drawn, so that scrolling never meets an empty one. */
const AHEAD = '150px';

/** Whether an element is on the screen or near it: thirty courses need not all be drawn to show six. */
export function useSeen(element: RefObject<HTMLElement | null>): boolean {
  const [seen, see] = useState(false);
  useLayoutEffect(() => {
    if (element.current === null || typeof IntersectionObserver === 'undefined') return see(true);
    const observer = new IntersectionObserver((found) => see(found.at(-1)?.isIntersecting ?? true), {
      rootMargin: AHEAD,
    });
    observer.observe(element.current);
    return () => observer.disconnect();
  }, [element]);
  return seen;
}
