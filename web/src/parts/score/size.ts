import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';

export interface Size {
  width: number;
  height: number;
}

/** The box of an element in px, kept up to date. */
export function useSize<E extends HTMLElement>(): [RefObject<E | null>, Size] {
  const element = useRef<E>(null);
  const [size, setSize] = useState<Size>({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const box = element.current;
    if (box === null) return;
    const measure = () =>
      setSize((known) =>
        known.width === box.clientWidth && known.height === box.clientHeight
          ? known
          : { width: box.clientWidth, height: box.clientHeight },
      );
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(box);
    return () => observer.disconnect();
  }, []);
  return [element, size];
}
