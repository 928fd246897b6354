// Written by `npm run messages` from `python -m kitchen_timer.server.schema`: change it there.

export type PassJoinReply = PassJoined | Refused;
export type Reply = Accepted | Refused;
export type StationJoinReply = StationJoined | Refused;

export interface Wire {
  Accepted: Accepted;
  ActionView: ActionView;
  After: After;
  AllergyView: AllergyView;
  Asap: Asap;
  AtTime: AtTime;
  CannotView: CannotView;
  CheckLine: CheckLine;
  ClockMessage: ClockMessage;
  ClockReply: ClockReply;
  CommandMessage: CommandMessage;
  ComponentInfo: ComponentInfo;
  CookAgain: CookAgain;
  CourseAsked: CourseAsked;
  CourseView: CourseView;
  Delay: Delay;
  DishInfo: DishInfo;
  DishView: DishView;
  FaultView: FaultView;
  FinishSteps: FinishSteps;
  FireCourse: FireCourse;
  GiveMoreTime: GiveMoreTime;
  Health: Health;
  HeldView: HeldView;
  Hold: Hold;
  HoldCourse: HoldCourse;
  JoinMessage: JoinMessage;
  KitchenInfo: KitchenInfo;
  NoteView: NoteView;
  PassBoard: PassBoard;
  PassJoinReply: PassJoinReply;
  PassJoined: PassJoined;
  Plate: Plate;
  Problem: Problem;
  Quote: Quote;
  QuoteMessage: QuoteMessage;
  Refused: Refused;
  Reply: Reply;
  SendCourse: SendCourse;
  SentView: SentView;
  StartSteps: StartSteps;
  StationBoard: StationBoard;
  StationInTouch: StationInTouch;
  StationInfo: StationInfo;
  StationJoinReply: StationJoinReply;
  StationJoined: StationJoined;
  TakeOrder: TakeOrder;
  Undo: Undo;
}
/**
 * The command is in the log; ``seq`` is what undo takes.
 */
export interface Accepted {
  ok: true;
  seq: number;
  /**
   * It had been taken before, under the same ``client_seq``.
   */
  repeated: boolean;
}
/**
 * One thing a cook is to do: a start (drop, turn, dress) or an end (lift, done). Steps joined into one cue.
 */
export interface ActionView {
  id: string;
  kind: 'start' | 'finish';
  due_at: string;
  heads_up_at: string;
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
/**
 * An allergy in words, never apart from its plate.
 */
export interface AllergyView {
  words: string;
  dish: string;
  table: string;
  cross_contact: string;
}
/**
 * ``gap`` after another course of the same table is up.
 */
export interface After {
  kind: 'after';
  after: string;
  gap?: string;
}
/**
 * As soon as the kitchen can.
 */
export interface Asap {
  kind: 'asap';
}
/**
 * Not before an instant, and wanted then.
 */
export interface AtTime {
  kind: 'time';
  at: string;
}
/**
 * A course that can never be made, why, and what would help.
 */
export interface CannotView {
  id: string;
  table: string;
  course: string;
  why: string;
  would_help: string;
}
/**
 * One thing to check before sending.
 */
export interface CheckLine {
  kind: 'allergy' | 'core_temp' | 'stands';
  words: string;
}
/**
 * First of the four timestamps (RFC 5905): the client's own milliseconds when it asked.
 */
export interface ClockMessage {
  t1: number;
}
/**
 * The other timestamps, in milliseconds.
 */
export interface ClockReply {
  t1: number;
  /**
   * The server's real time when the question came in; its zero is the server's own affair.
   */
  t2: number;
  /**
   * The server's real time when the reply left.
   */
  t3: number;
  /**
   * Kitchen time at ``t3``, in milliseconds since 1970 UTC.
   */
  kitchen_at_t3: number;
  /**
   * Kitchen seconds per real second; 1 except in the demo.
   */
  speed: number;
}
/**
 * One tap. The same ``(client_id, client_seq)`` sent again changes nothing and gets the same reply.
 */
export interface CommandMessage {
  client_id: string;
  client_seq: number;
  command:
    TakeOrder | FireCourse | HoldCourse | StartSteps | FinishSteps | GiveMoreTime | CookAgain | SendCourse | Undo;
}
/**
 * Take a table's order. Refused until the dining room has been asked for allergies.
 */
export interface TakeOrder {
  table: string;
  courses: CourseAsked[];
  allergies_asked: boolean;
  kind: 'take_order';
}
/**
 * One course of an order, before the kitchen has taken it.
 */
export interface CourseAsked {
  course: string;
  plates: Plate[];
  land: Asap | Hold | AtTime | After;
}
/**
 * So many plates of one dish for one course.
 */
export interface Plate {
  dish: string;
  qty?: number;
  note?: string;
  allergies?: string[];
  /**
   * Where the guest sits, as the dining room says it ("2", "2 and 5").
   */
  seat?: string;
}
/**
 * Not planned until it is called.
 */
export interface Hold {
  kind: 'hold';
}
/**
 * Call a held course. ``course_id`` is ``6/mains`` here and below.
 */
export interface FireCourse {
  course_id: string;
  kind: 'fire_course';
}
/**
 * Put a course on hold; what has started goes on, the rest is not planned until it is fired.
 */
export interface HoldCourse {
  course_id: string;
  kind: 'hold_course';
}
/**
 * A cook tapped Started; several steps where a cue was joined. Also finishes what ran before in these loads.
 */
export interface StartSteps {
  steps: string[];
  at?: string | null;
  kind: 'start_steps';
}
/**
 * A cook tapped Done (or lifted).
 */
export interface FinishSteps {
  steps: string[];
  at?: string | null;
  kind: 'finish_steps';
}
/**
 * The food wants so many seconds more: on top of what is expected, from now on if that has passed.
 */
export interface GiveMoreTime {
  steps: string[];
  seconds?: number;
  kind: 'give_more_time';
}
/**
 * A load was dropped, burnt or sent back: cook its portions again, the table is realigned.
 */
export interface CookAgain {
  load: string;
  kind: 'cook_again';
}
/**
 * The plates have gone.
 */
export interface SendCourse {
  course_id: string;
  kind: 'send_course';
}
/**
 * Take back one earlier command, by the sequence number that its acknowledgement gave.
 */
export interface Undo {
  seq: number;
  kind: 'undo';
}
/**
 * A part of a dish as the order page shows it.
 */
export interface ComponentInfo {
  name: string;
  station: string;
  allergens: string[];
}
/**
 * One course on the pass screen.
 */
export interface CourseView {
  id: string;
  table: string;
  course: string;
  plates: number;
  dishes: DishView[];
  allergies: AllergyView[];
  target_at: string;
  landing_at: string;
  up_at: string;
  late_s: number;
  cause: string;
  at_pass: boolean;
  notes: NoteView[];
  checks: CheckLine[];
  spread_s: number | null;
}
/**
 * One line of a course.
 */
export interface DishView {
  dish: string;
  name: string;
  qty: number;
  note: string;
  seat: string;
  allergies: string[];
}
/**
 * One note of the score: a step of a load.
 */
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
  start_at: string;
  end_at: string;
  state: 'planned' | 'announced' | 'started' | 'done';
  late: boolean;
  hands: 'all' | 'ends' | 'start' | 'end' | 'none';
  last: boolean;
  keeps_until: string | null;
  stands_until: string | null;
  joined: string[];
}
/**
 * A course that an order would push back.
 */
export interface Delay {
  table: string;
  course: string;
  by_s: number;
}
/**
 * A dish as the order page offers it.
 */
export interface DishInfo {
  dish: string;
  name: string;
  course: string;
  allergens: string[];
  components: ComponentInfo[];
}
/**
 * One fault of a message: where, what, and what would be right.
 */
export interface FaultView {
  where: string;
  what: string;
  cure: string;
}
/**
 * Whether it works, part by part.
 */
export interface Health {
  alive: true;
  /**
   * The event log can be written.
   */
  database: boolean;
  /**
   * Both planner processes answer.
   */
  planner: boolean;
  /**
   * Pages of stations in touch.
   */
  phones: number;
  trouble: string[];
}
/**
 * A held course, with the landing it would get if it were called now (None while that is being worked out).
 */
export interface HeldView {
  id: string;
  table: string;
  course: string;
  plates: number;
  dishes: DishView[];
  allergies: AllergyView[];
  landing_if_fired: string | null;
  waits_for: string;
}
/**
 * A page asks for its board and for every later one.
 */
export interface JoinMessage {
  page: 'pass' | 'order' | 'station';
  client_id: string;
  /**
   * Of a station page: which.
   */
  station?: string | null;
}
/**
 * What every page needs to know once.
 */
export interface KitchenInfo {
  name: string;
  timezone: string;
  /**
   * The service's date, such as 2026-11-27.
   */
  service: string;
  stations: StationInfo[];
  /**
   * An invented kitchen: invented cooks tap where no phone has joined.
   */
  demo: boolean;
  speed: number;
  /**
   * Open to the whole network, not only to this machine.
   */
  lan: boolean;
  /**
   * Where phones find it, such as http://192.168.1.20:8410.
   */
  address: string;
  cautions: string[];
  /**
   * Seconds between a heads-up and its cue.
   */
  heads_up_s: number;
}
/**
 * A station as the front page lists it.
 */
export interface StationInfo {
  id: string;
  name: string;
}
/**
 * All the pass screen shows.
 */
export interface PassBoard {
  seq: number;
  now: string;
  courses: CourseView[];
  held: HeldView[];
  cannot: CannotView[];
  sent: SentView[];
  stations: StationInTouch[];
  trouble: string[];
  all_day: [string, number][];
  replanning: boolean;
}
/**
 * A sent course; ``seq`` takes it back.
 */
export interface SentView {
  id: string;
  table: string;
  course: string;
  plates: number;
  sent_at: string;
  landed_at: string;
  spread_s: number;
  late_s: number;
  past_keeps: number;
  seq: number;
}
/**
 * A station and whether a phone of it is in touch.
 */
export interface StationInTouch {
  id: string;
  name: string;
  devices: number;
  out_of_touch_s: number | null;
}
/**
 * The board of a pass or an order page.
 */
export interface PassJoined {
  ok: true;
  board: PassBoard;
}
/**
 * The command changed nothing.
 */
export interface Refused {
  ok: false;
  problem: Problem;
}
/**
 * A refusal (RFC 9457). ``code`` is stable, ``detail`` is for people.
 */
export interface Problem {
  type: string;
  title: string;
  status: number;
  detail: string;
  code: string;
  faults: FaultView[];
}
/**
 * What an order would get, before it is taken.
 */
export interface Quote {
  now: string;
  courses: CourseView[];
  delays: Delay[];
  cannot: CannotView[];
  warnings: string[];
}
/**
 * What would this order get?
 */
export interface QuoteMessage {
  table: string;
  courses: CourseAsked[];
}
/**
 * All a station's phone shows: enough to go on for ten minutes when out of touch.
 */
export interface StationBoard {
  seq: number;
  now: string;
  station: string;
  station_name: string;
  actions: ActionView[];
  notes: NoteView[];
  trouble: string[];
}
/**
 * The board of a station's page.
 */
export interface StationJoined {
  ok: true;
  board: StationBoard;
}

/** An instant, RFC 3339. */
export type Instant = string;
export type NoteState = NoteView['state'];
export type Command = CommandMessage['command'];
export type Land = NonNullable<CourseAsked['land']>;
export type PlateAsked = Plate;
export type StationName = StationInfo;
export type BookDish = DishInfo;
export type BookComponent = ComponentInfo;
export type Fault = FaultView;
