import type { RefObject } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { timeOfDay } from '../../clock/say_time';
import type { CourseView } from '../../wire/messages';
import { say } from '../../words/say';

interface FurtherProps {
  courses: readonly CourseView[];
  list: RefObject<HTMLElement | null>;
}

/** On a display that nobody scrolls: which courses lie below what is seen, and when they land. */
export function Further({ courses, list }: FurtherProps) {
  const [below, setBelow] = useState<readonly string[]>([]);
  const ids = courses.map((course) => course.id).join('|');
  useEffect(() => {
    const root = list.current;
    if (root === null) return;
    const hidden = new Map<string, boolean>();
    const observer = new IntersectionObserver(
      (seen) => {
        for (const one of seen) {
          const under = one.boundingClientRect.bottom > (one.rootBounds?.bottom ?? 0);
          hidden.set((one.target as HTMLElement).dataset.course ?? '', under && one.intersectionRatio < 0.5);
        }
        setBelow([...hidden].filter(([, out]) => out).map(([id]) => id));
      },
      { root: root.scrollHeight > root.clientHeight ? root : null, threshold: [0, 0.5, 1] },
    );
    for (const row of root.querySelectorAll('[data-course]')) observer.observe(row);
    return () => observer.disconnect();
  }, [ids, list]);
  const further = courses.filter((course) => below.includes(course.id));
  if (further.length === 0) return null;
  return (
    <p class="further figures">
      {say('pass.further')}{' '}
      {further.map((course, at) => (
        <span key={course.id}>
          {at > 0 && ' · '}
          <b>{course.table}</b> {timeOfDay(course.landing_at)}
        </span>
      ))}
    </p>
  );
}
