/** A layer that moves with time: one transform a frame, nothing inside is drawn again. */

import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';
import { onFrame } from '../../clock/frames';
import { kitchenNow } from '../../clock/kitchen_clock';

interface MovingProps {
  /** Second at which the layer's zero lies on the now line. */
  origin_s: number;
  pxPerS: number;
  direction: 'right' | 'down';
  /** Px of the now line from the layer's left (right) or top (down). */
  nowAt: number;
  /** It stands where its zero is, whatever the time. */
  stands?: boolean;
  children: ComponentChildren;
}

export function Moving({ origin_s, pxPerS, direction, nowAt, stands = false, children }: MovingProps) {
  const layer = useRef<SVGSVGElement>(null);
  useLayoutEffect(() => {
    let shown = Number.NaN;
    const move = (now_ms: number) => {
      const passed = (now_ms / 1000 - origin_s) * pxPerS;
      const at = direction === 'right' ? nowAt - passed : nowAt + passed;
      // A quarter of a pixel is the least that shows; moving for less costs a phone its battery.
      if (layer.current === null || Math.abs(at - shown) < 0.25) return;
      shown = at;
      layer.current.style.transform =
        direction === 'right' ? `translate3d(${at.toFixed(2)}px,0,0)` : `translate3d(0,${at.toFixed(2)}px,0)`;
    };
    if (stands) return move(origin_s * 1000);
    move(kitchenNow());
    return onFrame(move);
  }, [origin_s, pxPerS, direction, nowAt, stands]);
  return (
    <svg ref={layer} class="moving" width="1" height="1" aria-hidden="true">
      {children}
    </svg>
  );
}

/** An origin near now, kept while it is near, so that coordinates stay the same from beat to beat. */
export function useOrigin(now_s: number): number {
  const origin = useRef(now_s);
  if (Math.abs(now_s - origin.current) > 1800) origin.current = now_s;
  return origin.current;
}
