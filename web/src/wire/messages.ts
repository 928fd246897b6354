// Written by `npm run messages` from `python -m kitchen_timer.server.schema`: change it there.

export type PassJoinReply = PassJoined | Refused;
export type Reply = Accepted | Refused;
export type StationJoinReply = StationJoined | Refused;

export interface Wire {
  Accepted: Accepted;
  ActionView: ActionView;
  AddPlates: AddPlates;
  After: After;
  AllergyView: AllergyView;
  AnswerAgain: AnswerAgain;
  Asap: Asap;
  AtTime: AtTime;
  BackOn: BackOn;
  CannotView: CannotView;
  ChangePlate: ChangePlate;
  CheckLine: CheckLine;
  ClockMessage: ClockMessage;
  ClockReply: ClockReply;
  CommandMessage: CommandMessage;
  ComponentInfo: ComponentInfo;
  CookAgain: CookAgain;
  CookPlatesAgain: CookPlatesAgain;
  CooksAsked: CooksAsked;
  CourseAsked: CourseAsked;
  CourseView: CourseView;
  Delay: Delay;
  DishInfo: DishInfo;
  DishView: DishView;
  EightySix: EightySix;
  EquipmentInfo: EquipmentInfo;
  FaultView: FaultView;
  FinishSteps: FinishSteps;
  FireCourse: FireCourse;
  FreeCue: FreeCue;
  GiveLoad: GiveLoad;
  GiveMoreTime: GiveMoreTime;
  GuestAway: GuestAway;
  GuestBack: GuestBack;
  Health: Health;
  HeldView: HeldView;
  Hold: Hold;
  HoldCourse: HoldCourse;
  JoinMessage: JoinMessage;
  KitchenInfo: KitchenInfo;
  LandCourse: LandCourse;
  LandingAsked: LandingAsked;
  LinkView: LinkView;
  MoveCourse: MoveCourse;
  MoveTable: MoveTable;
  MovedView: MovedView;
  NoteView: NoteView;
  OffView: OffView;
  OnTheFly: OnTheFly;
  PassBoard: PassBoard;
  PassJoinReply: PassJoinReply;
  PassJoined: PassJoined;
  Plate: Plate;
  Problem: Problem;
  QuestionView: QuestionView;
  Quote: Quote;
  QuoteMessage: QuoteMessage;
  ReadCoreTemp: ReadCoreTemp;
  Refused: Refused;
  Reply: Reply;
  SendCourse: SendCourse;
  SentView: SentView;
  SetCooks: SetCooks;
  SetCue: SetCue;
  SetSlots: SetSlots;
  SetTaps: SetTaps;
  ShortView: ShortView;
  SlotsAsked: SlotsAsked;
  SpareView: SpareView;
  StartSteps: StartSteps;
  StationBoard: StationBoard;
  StationInTouch: StationInTouch;
  StationInfo: StationInfo;
  StationJoinReply: StationJoinReply;
  StationJoined: StationJoined;
  TakeOff: TakeOff;
  TakeOffCourse: TakeOffCourse;
  TakeOrder: TakeOrder;
  TellAllergy: TellAllergy;
  Undo: Undo;
  WhatIfAsked: WhatIfAsked;
  WhatIfView: WhatIfView;
  WhyView: WhyView;
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
  by_itself: boolean;
  pinned: boolean;
  moved: string;
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
 * Plates more for a course that has been ordered, also while it cooks.
 */
export interface AddPlates {
  course_id: string;
  plates: Plate[];
  allergies_asked: boolean;
  kind: 'add_plates';
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
 * ``gap`` after another course of the same table is up.
 */
export interface After {
  kind: 'after';
  after: string;
  gap?: string;
  /**
   * ``now``: planned at once, on the forecast of when that course is up. ``sent``: held until it has been sent.
   */
  fired?: 'now' | 'sent';
}
/**
 * The chef's answer to a question of the board: are these loads to be cooked again too, or do they stay?
 */
export interface AnswerAgain {
  loads: string[];
  again: boolean;
  kind: 'answer_again';
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
 * It is to be had again.
 */
export interface BackOn {
  dish?: string | null;
  component?: string | null;
  kind: 'back_on';
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
 * So many plates (``was.qty``) become others: dish, note, seat, allergies. What has started stays, or is spare.
 */
export interface ChangePlate {
  course_id: string;
  was: Plate;
  to: Plate;
  kind: 'change_plate';
}
/**
 * One thing to check before sending.
 */
export interface CheckLine {
  kind: 'allergy' | 'core_temp' | 'stands';
  words: string;
  steps: string[];
  core_temp: number | null;
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
    | TakeOrder
    | FireCourse
    | HoldCourse
    | LandCourse
    | MoveCourse
    | OnTheFly
    | GuestAway
    | GuestBack
    | StartSteps
    | FinishSteps
    | GiveMoreTime
    | SetCue
    | FreeCue
    | ReadCoreTemp
    | CookAgain
    | CookPlatesAgain
    | AnswerAgain
    | GiveLoad
    | AddPlates
    | ChangePlate
    | TakeOff
    | TakeOffCourse
    | TellAllergy
    | MoveTable
    | EightySix
    | BackOn
    | SetCooks
    | SetSlots
    | SetTaps
    | SendCourse
    | Undo;
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
 * The chef's own landing for a course; a held one is called with it.
 */
export interface LandCourse {
  course_id: string;
  land: Asap | Hold | AtTime | After;
  kind: 'land_course';
}
/**
 * Push a course by so many seconds from the landing it has now; negative: bring it forward.
 */
export interface MoveCourse {
  course_id: string;
  by_s: number;
  kind: 'move_course';
}
/**
 * A course that is wanted at once and before the others.
 */
export interface OnTheFly {
  course_id: string;
  kind: 'on_the_fly';
}
/**
 * A guest has left the table: what has not started of its courses is held until they are back.
 */
export interface GuestAway {
  table: string;
  kind: 'guest_away';
}
/**
 * The guest is back: the table's courses are planned again, wanted times later by as long as they were away.
 */
export interface GuestBack {
  table: string;
  kind: 'guest_back';
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
 * The chef's own time for the first start of a load, which plans then keep.
 */
export interface SetCue {
  step: string;
  at: string;
  kind: 'set_cue';
}
/**
 * The planner has the time of this start again.
 */
export interface FreeCue {
  step: string;
  kind: 'free_cue';
}
/**
 * A core temperature was read. Below what the step asks for it may not be called done, unless the chef overrides.
 *
 * The reading is a note; the house's food-safety plan says what it has to be.
 */
export interface ReadCoreTemp {
  step: string;
  celsius: number;
  override?: boolean;
  kind: 'read_core_temp';
}
/**
 * A load was dropped, burnt or sent back: cook its portions again, the table is realigned.
 */
export interface CookAgain {
  load: string;
  portions?: number | null;
  kind: 'cook_again';
}
/**
 * Whole plates are lost: every component of the dish that has begun is cooked again for so many.
 *
 * Of a course that has gone, plates came back: they become a course of their own, on the fly.
 */
export interface CookPlatesAgain {
  course_id: string;
  dish: string;
  plates?: number;
  kind: 'cook_plates_again';
}
/**
 * Begun food goes to another course that wants the same: what is spare, or what the chef takes from one table.
 */
export interface GiveLoad {
  load: string;
  course_id: string;
  portions?: number | null;
  kind: 'give_load';
}
/**
 * Plates are no longer wanted. What has started of them goes on and is spare.
 */
export interface TakeOff {
  course_id: string;
  plates: Plate[];
  kind: 'take_off';
}
/**
 * A whole course is no longer wanted. What has started of it goes on and is spare.
 */
export interface TakeOffCourse {
  course_id: string;
  kind: 'take_off_course';
}
/**
 * An allergy told after the order: it is on every cue at once; started food that it touches is asked about.
 */
export interface TellAllergy {
  table: string;
  allergies: string[];
  seat?: string;
  dish?: string | null;
  kind: 'tell_allergy';
}
/**
 * A table's guests sit at another one now.
 */
export interface MoveTable {
  table: string;
  to: string;
  merge?: boolean;
  kind: 'move_table';
}
/**
 * None left of a dish, or of a component by its name in every dish that has it: new orders are refused.
 */
export interface EightySix {
  dish?: string | null;
  component?: string | null;
  kind: 'eighty_six';
}
/**
 * So many cooks stand at a station now.
 */
export interface SetCooks {
  station: string;
  cooks: number;
  kind: 'set_cooks';
}
/**
 * So many places of a piece of equipment work now.
 */
export interface SetSlots {
  equipment: string;
  slots: number;
  kind: 'set_slots';
}
/**
 * What a station taps: both ends, done only, or nothing.
 */
export interface SetTaps {
  station: string;
  taps: 'both' | 'done' | 'clock';
  kind: 'set_taps';
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
  /**
   * Seconds that it stays good once done.
   */
  keeps_s: number;
}
/**
 * So many more cooks at a station, fewer below 0.
 */
export interface CooksAsked {
  station: string;
  by: number;
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
  promised_at: string | null;
  lands_from: string | null;
  lands_to: string | null;
  urgent: boolean;
  away_since: string | null;
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
  spare: number;
  pinned: boolean;
}
/**
 * A course that an order would push back.
 */
export interface Delay {
  table: string;
  course: string;
  by_s: number;
  why: string;
}
/**
 * A dish as the order page offers it.
 */
export interface DishInfo {
  dish: string;
  name: string;
  course: string;
  allergens: string[];
  /**
   * What there is none left of; empty: it can be ordered.
   */
  off: string;
  components: ComponentInfo[];
}
/**
 * Equipment as pages name it.
 */
export interface EquipmentInfo {
  id: string;
  /**
   * What the cooks call it.
   */
  name: string;
  /**
   * Places by the kitchen's file; ``short`` of the pass board says where it is otherwise tonight.
   */
  slots: number;
  /**
   * Whose steps use it, by the book as it is now.
   */
  stations: string[];
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
 * Whether it works, part by part, each tried just now.
 */
export interface Health {
  alive: true;
  /**
   * The evening's log was written to.
   */
  database: boolean;
  /**
   * Both planner processes answer.
   */
  planner: boolean;
  /**
   * Real seconds since the planner last answered.
   */
  planner_answered_s: number;
  /**
   * Phones of stations in touch.
   */
  phones: number;
  stations: StationInTouch[];
  /**
   * What time it is in the kitchen.
   */
  kitchen_at: string;
  /**
   * By how many seconds the machine's clock has been set since the start; the kitchen's goes on by its own.
   */
  clock_set_s: number;
  /**
   * Megabytes that are left where the evening is kept.
   */
  disk_left_mb: number | null;
  /**
   * Number of the last event in the log.
   */
  events: number;
  /**
   * What is wrong with the tool itself, as the pass says it.
   */
  trouble: string[];
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
  away_since: string | null;
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
  equipment: EquipmentInfo[];
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
  /**
   * How many stand there by the kitchen's file; ``short`` of the pass board says where it is otherwise tonight.
   */
  cooks: number;
}
/**
 * The chef's own landing time for a course.
 */
export interface LandingAsked {
  course_id: string;
  at: string;
}
/**
 * One link of the chain that holds a course.
 */
export interface LinkView {
  kind: string;
  words: string;
  course_id: string;
  until_at: string | null;
  sooner_s: number;
}
/**
 * A course as it stands, and as it would be.
 */
export interface MovedView {
  id: string;
  table: string;
  course: string;
  plates: number;
  stands_at: string | null;
  would_land_at: string | null;
  by_s: number;
  late_s: number;
  cause: string;
}
/**
 * Eighty-six: what there is none left of, and which open courses have still to cook it.
 */
export interface OffView {
  dish: string | null;
  component: string | null;
  name: string;
  courses: string[];
  dishes: string[];
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
  questions: QuestionView[];
  off: OffView[];
  short: ShortView[];
  spare: SpareView[];
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
 * Something only the chef can say; ``answer_again`` with its loads answers it.
 */
export interface QuestionView {
  id: string;
  kind: 'dying' | 'allergy';
  course_id: string;
  words: string;
  loads: string[];
}
/**
 * A station or equipment that has not what the kitchen's file says.
 */
export interface ShortView {
  kind: 'cooks' | 'slots';
  id: string;
  name: string;
  has: number;
  of: number;
}
/**
 * Begun food that no plate needs any more.
 */
export interface SpareView {
  load: string;
  component_name: string;
  dish_name: string;
  table: string;
  portions: number;
  ready_at: string;
  keeps_until: string;
  wanted_by: string[];
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
 * So many more places in a piece of equipment, fewer below 0.
 */
export interface SlotsAsked {
  equipment: string;
  by: number;
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
  taps: 'both' | 'done' | 'clock';
}
/**
 * The board of a station's page.
 */
export interface StationJoined {
  ok: true;
  board: StationBoard;
}
/**
 * What is supposed to be otherwise; at least one thing.
 */
export interface WhatIfAsked {
  first?: string[];
  without?: string[];
  cooks?: CooksAsked[];
  slots?: SlotsAsked[];
  landings?: LandingAsked[];
}
/**
 * What would be if something were otherwise. Nothing is.
 */
export interface WhatIfView {
  now: string;
  words: string;
  courses: MovedView[];
  cannot: CannotView[];
  cost_stands: number;
  cost_would: number;
}
/**
 * Why a course lands when it does.
 */
export interface WhyView {
  id: string;
  table: string;
  course: string;
  late_s: number;
  chain: LinkView[];
}

/** An instant, RFC 3339. */
export type Instant = string;
export type NoteState = NoteView['state'];
export type Command = CommandMessage['command'];
export type Land = NonNullable<CourseAsked['land']>;
export type PlateAsked = Plate;
export type StationName = Pick<StationInfo, 'id' | 'name'>;
export type BookDish = DishInfo;
export type BookComponent = ComponentInfo;
export type Fault = FaultView;
