import type { CourseView, PassBoard } from '../wire/messages';

const texts = new WeakMap<CourseView, string>();

function textOf(course: CourseView): string {
  let text = texts.get(course);
  if (text === undefined) {
    text = JSON.stringify(course);
    texts.set(course, text);
  }
  return text;
}

/** A new board in which every course that has not changed is the very object of the board before. */
export function sameCourses(before: PassBoard | null, after: PassBoard | null): PassBoard | null {
  if (before === null || after === null || before === after) return after;
  const known = new Map(before.courses.map((course) => [course.id, course]));
  const courses = after.courses.map((course) => {
    const old = known.get(course.id);
    return old !== undefined && textOf(old) === textOf(course) ? old : course;
  });
  return { ...after, courses };
}
