import { expect, it } from 'vitest';
import { sameCourses } from '../../src/board/same';
import type { CourseView, PassBoard } from '../../src/wire/messages';

const course = (id: string, late_s: number) => ({ id, late_s }) as CourseView;
const board = (...courses: CourseView[]) => ({ courses }) as unknown as PassBoard;

it('keeps the very object of a course that has not changed, so that it need not be drawn again', () => {
  const before = board(course('6/mains', 0), course('7/mains', 0));
  const after = sameCourses(before, board(course('7/mains', 15), course('6/mains', 0)));
  expect(after?.courses[1]).toBe(before.courses[0]);
  expect(after?.courses[0]).not.toBe(before.courses[1]);
  expect(after?.courses[0]?.late_s).toBe(15);
});
