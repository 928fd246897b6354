import type { CourseView, HeldView, PassBoard } from '../../wire/messages';

/** What a course that cooks and one that is held have in common: all that a sheet needs to change its order. */
export type Opened = Pick<CourseView & HeldView, 'id' | 'table' | 'course' | 'plates' | 'dishes' | 'away_since'>;

/** The open course of this id, cooking or held; undefined once it has gone. */
export function openCourse(board: PassBoard, id: string | null): CourseView | HeldView | undefined {
  return board.courses.find((one) => one.id === id) ?? board.held.find((one) => one.id === id);
}

/** Whether it is being cooked: then it has notes, a landing and a reason for it. */
export function cooks(course: CourseView | HeldView): course is CourseView {
  return 'notes' in course;
}

/** Tables with an open course. */
export function openTables(board: PassBoard): string[] {
  return [...new Set([...board.courses, ...board.held].map((one) => one.table))];
}
