import { seconds } from '../../clock/say_time';
import type { CourseView } from '../../wire/messages';

/** Lengths of the picture, s: few, so that it seldom changes its scale. */
const LENGTHS_S = [300, 480, 720, 960, 1260, 1620];
/** Px of a second: no more is needed to read a note, and no less shows one of a minute. */
const WIDE = 1.7;
const NARROW = 0.72;
/** So many of the next landings are to be seen. */
const LANDINGS = 3;

/** How many seconds the picture shows: the next landings, at a scale at which their notes still read. */
export function windowFor(courses: readonly Pick<CourseView, 'landing_at'>[], width: number, now_s: number): number {
  const least = width / WIDE;
  const most = Math.max(300, width / NARROW);
  const landing = courses.slice(0, LANDINGS).reduce((last, one) => Math.max(last, seconds(one.landing_at) - now_s), 0);
  const wanted = Math.max(least, landing * 1.2);
  const length = LENGTHS_S.find((s) => s >= wanted) ?? wanted;
  return Math.round(Math.min(length, most));
}
