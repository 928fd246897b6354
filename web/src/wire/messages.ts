/** The shapes of the wire, as kitchen_timer/service/views.py and commands.py write them. Instants are RFC 3339. */

export type Instant = string;
export type NoteState = 'planned' | 'announced' | 'started' | 'done';

export interface AllergyView {
  words: string;
  dish: string;
  table: string;
  cross_contact: string;
}
export interface DishView {
  dish: string;
  name: string;
  qty: number;
  note: string;
  seat: string;
  allergies: string[];
}
export interface NoteView {
  id: string;
  load_id: string;
  course_id: string;
  table: string;
  dish: string;
  dish_name: string;
  component: string;
  component_name: string;
  do: string;
  station: string;
  on: string | null;
  portions: number;
  start_at: Instant;
  end_at: Instant;
  state: NoteState;
  late: boolean;
  hands: 'all' | 'ends' | 'start' | 'end' | 'none';
  last: boolean;
  keeps_until: Instant | null;
  stands_until: Instant | null;
  joined: string[];
}
export interface CheckLine {
  kind: 'allergy' | 'core_temp' | 'stands';
  words: string;
}
export interface CourseView {
  id: string;
  table: string;
  course: string;
  plates: number;
  dishes: DishView[];
  allergies: AllergyView[];
  target_at: Instant;
  landing_at: Instant;
  up_at: Instant;
  late_s: number;
  cause: string;
  at_pass: boolean;
  notes: NoteView[];
  checks: CheckLine[];
  spread_s: number | null;
}
export interface HeldView {
  id: string;
  table: string;
  course: string;
  plates: number;
  dishes: DishView[];
  allergies: AllergyView[];
  landing_if_fired: Instant | null;
  waits_for: string;
}
export interface SentView {
  id: string;
  table: string;
  course: string;
  plates: number;
  sent_at: Instant;
  landed_at: Instant;
  spread_s: number;
  late_s: number;
  past_keeps: number;
  seq: number;
}
export interface CannotView {
  id: string;
  table: string;
  course: string;
  why: string;
  would_help: string;
}
export interface StationInTouch {
  id: string;
  name: string;
  devices: number;
  out_of_touch_s: number | null;
}
export interface PassBoard {
  seq: number;
  now: Instant;
  courses: CourseView[];
  held: HeldView[];
  cannot: CannotView[];
  sent: SentView[];
  stations: StationInTouch[];
  trouble: string[];
  all_day: [string, number][];
  replanning: boolean;
}
export interface ActionView {
  id: string;
  kind: 'start' | 'finish';
  due_at: Instant;
  heads_up_at: Instant;
  do: string;
  component_name: string;
  dish_names: string[];
  portions: number;
  tables: string[];
  per_table: [string, number][];
  courses: string[];
  steps: string[];
  on: string | null;
  takes_s: number;
  allergies: AllergyView[];
  notes: string[];
  core_temp: number | null;
  running: boolean;
  caution: string;
}
export interface StationBoard {
  seq: number;
  now: Instant;
  station: string;
  station_name: string;
  actions: ActionView[];
  notes: NoteView[];
  trouble: string[];
}
export interface Delay {
  table: string;
  course: string;
  by_s: number;
}
export interface Quote {
  now: Instant;
  courses: CourseView[];
  delays: Delay[];
  cannot: CannotView[];
  warnings: string[];
}

export type Land =
  | { kind: 'asap' }
  | { kind: 'hold' }
  | { kind: 'time'; at: Instant }
  | { kind: 'after'; after: string; gap: string };
export interface PlateAsked {
  dish: string;
  qty: number;
  note: string;
  seat: string;
  allergies: string[];
}
export interface CourseAsked {
  course: string;
  plates: PlateAsked[];
  land: Land;
}
export type Command =
  | { kind: 'take_order'; table: string; courses: CourseAsked[]; allergies_asked: boolean }
  | { kind: 'fire_course'; course_id: string }
  | { kind: 'hold_course'; course_id: string }
  | { kind: 'start_steps'; steps: string[]; at?: Instant | null }
  | { kind: 'finish_steps'; steps: string[]; at?: Instant | null }
  | { kind: 'give_more_time'; steps: string[]; seconds: number }
  | { kind: 'cook_again'; load: string }
  | { kind: 'send_course'; course_id: string }
  | { kind: 'undo'; seq: number };

export interface Fault {
  where: string;
  what: string;
  cure: string;
}
/** RFC 9457 problem details, as every refusal carries them. */
export interface Problem {
  type: string;
  title: string;
  status: number;
  detail: string;
  code: string;
  faults: Fault[];
}
export type Reply = { ok: true; seq: number; repeated: boolean } | { ok: false; problem: Problem };
export interface ClockReply {
  t1: number;
  t2: number;
  t3: number;
  kitchen_at_t3: number;
  speed: number;
}

export interface StationName {
  id: string;
  name: string;
}
export interface KitchenInfo {
  name: string;
  timezone: string;
  service: string;
  stations: StationName[];
  demo: boolean;
  speed: number;
  lan: boolean;
  address: string;
  cautions: string[];
  heads_up_s: number;
}
export interface BookComponent {
  name: string;
  station: string;
  allergens: string[];
}
export interface BookDish {
  dish: string;
  name: string;
  course: string;
  allergens: string[];
  components: BookComponent[];
}
