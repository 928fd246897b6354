import { useEffect, useState } from 'preact/hooks';

/** Below this width a course's parts stand under one another; the same figure is in pass.css. */
const STACKED = '(max-width: 1100px)';

/** Whether the page is so narrow that each course needs a time axis of its own. */
export function useStacked(): boolean {
  const [stacked, set] = useState(() => matchMedia(STACKED).matches);
  useEffect(() => {
    const media = matchMedia(STACKED);
    const changed = () => set(media.matches);
    media.addEventListener('change', changed);
    return () => media.removeEventListener('change', changed);
  }, []);
  return stacked;
}
