/** Everything is in SI units: kg, m, s, N·m, W, V, A, rad, K; names carry the unit. x forward, y to camera left, z up. */

/** A package file, as `JSON.parse` reads it. Sections of other versions are kept as they are. */
export interface PackageFile {
  format: number;
  sections: {
    package: Section<PackageData>;
    head: Section<Head>;
    parts?: Section<Part[]>;
    lenses?: Section<Lens[]>;
    moves?: Section<Move[]>;
    day?: Section<Day>;
    tune?: Section<Tune>;
    logs?: Section<LoggedBalance[]>;
    balancing?: Section<Balancing>;
    structure?: Section<Structure>;
    [other: string]: unknown;
  };
}

export interface Section<T> {
  version: number;
  data: T;
}

/** Thrown for every fault of the input. `field` is that of the first fault, "" when no field is at fault. */
export interface PackageError extends Error {
  name: "PackageError";
  field: string;
  faults: { field: string; problem: string }[];
}

export interface PackageData {
  name: string;
  note?: string;
  demo?: boolean;
  mount: Mount;
  active_lens?: number | null;
  reserve?: Reserve;
  arm?: Arm | null;
  at_hand?: AtHand | null;
  /** Minutes of each step of a lens change; typical where absent. */
  change_minutes?: ChangeMinutes;
}

/** What is absent is typical. */
export interface Structure {
  rod_material?: Material | null;
  rod_wall_m?: number | null;
  plate_material?: Material | null;
  fastening_nm_rad?: number | null;
  lens_mount_nm_rad?: number | null;
  support_n_m?: number | null;
  sensor_on?: "head" | "plate" | "body";
  flange_depth_m?: number | null;
  picture_height_m?: number | null;
  picture_width_m?: number | null;
}

export type Material = "aluminium" | "steel" | "carbon_wrapped" | "carbon_drawn";

export interface ChangeMinutes {
  lens_min?: number | null;
  slide_min?: number | null;
  try_min?: number | null;
  on_or_off_min?: number | null;
  moved_min?: number | null;
  check_tune_min?: number | null;
  tune_min?: number | null;
}

export interface AtHand {
  hole_spacing_m: number;
  /** Whole. */
  holes_each_way: number;
  risers_m?: number[];
  rods_m?: number[];
  weights_kg?: number[];
  /** Whole. */
  pieces: number;
}

export interface Arm {
  head_length_m: number;
  weight_length_m: number;
  empty_kg: number;
  plates?: Plate[];
  weighted?: WeightedFor | null;
}

export interface Plate {
  kg: number;
  /** Whole. */
  count: number;
}

export interface WeightedFor {
  name: string;
  all_up_kg: number;
}

export interface Mount {
  flange_ahead_m: number;
  flange_left_m?: number;
}

export interface Reserve {
  torque_headroom: number;
  tip_rad: number;
  finger_reach_m?: number;
  finger_limit_n?: number;
}

export interface Head {
  name: string;
  typical?: boolean;
  payload_kg: [number, number];
  /** Platform first: what stands later rides on what stands before. */
  chain: Element[];
  opening?: Opening | null;
  taps?: Tap[];
  tap_groups?: TapGroup[];
  idle_w: number;
  crossover_hz: number;
}

export type Element = { joint: Joint } | { slide: Slide } | { yoke: Yoke } | { place: Place };

export interface Joint {
  id: string;
  name: string;
  axis: Vector;
  position_m?: Vector;
  limits_rad?: [number, number] | null;
  drive: Drive;
  turns: Turns;
}

export interface Turns {
  plus: string;
  minus: string;
  shown: string;
  shown_reversed?: boolean;
}

export interface Drive {
  kind: "direct" | "belt" | "geared";
  ratio: number;
  efficiency: number;
  reflected_inertia_kg_m2: number;
  friction_nm: number;
  peak_nm: number;
  peak_s: number;
  continuous_nm: number;
  motor_constant: number;
  winding_to_air_k_w: number;
  max_rate_rad_s: number;
  cable_spring_nm_rad?: number;
  cable_hysteresis_nm?: number;
}

export interface Slide {
  id: string;
  name: string;
  direction: Vector;
  range_m: [number, number];
  zero_m: number;
  mark_m: number;
  hole_spacing_m?: number | null;
  plus: string;
  minus: string;
}

export interface Yoke {
  name: string;
  mass: Mass;
  cg: Cg;
  inertia_kg_m2: Vector;
}

export interface Place {
  id: string;
  name: string;
  origin_m?: Vector;
  camera?: boolean;
}

export interface Opening {
  width_m: number;
  height_m: [number, number];
  clear_radius_m: number;
}

export type Vector = [number, number, number];

export interface Mass {
  kg: number;
  from: "bench_scale" | "luggage_scale" | "data_sheet" | "estimate" | "typical" | "balance";
  u_kg?: number | null;
}

export type CgSource = "measured" | "data_sheet" | "estimate" | "typical" | "balance";

export interface Cg {
  offset_m: Vector;
  from: CgSource;
  u_m?: number | null;
}

export interface Part {
  id: number;
  name: string;
  kind:
    | "body"
    | "plate"
    | "rods"
    | "support"
    | "control"
    | "picture"
    | "front"
    | "pack"
    | "weight"
    | "other";
  on?: boolean;
  mass: { own: Mass } | { share: { fraction: number } };
  size_m: Vector;
  shape?: "box" | "cylinder" | "rod_pair";
  cg: Cg;
  at: Position;
  drag?: Drag;
  optical_axis_up_m?: number | null;
  load?: Load | null;
  pack?: Pack | null;
}

export interface Position {
  place: string;
  from:
    | "place"
    | "flange"
    | "stack"
    | "lens_front"
    | "focus_ring"
    | "iris_ring"
    | "zoom_ring"
    | "body_top"
    | "body_rear"
    | "rods_front"
    | "plate_front";
  offset_m?: Vector;
}

export interface Drag {
  coefficient: number;
  sheltered?: boolean;
}

export interface Load {
  typical_w: number;
  peak_w: number;
  window_v?: [number, number] | null;
  tap?: string | null;
  cable?: Cable | null;
}

export interface Cable {
  length_m: number;
  conductor_mm2: number;
}

export interface Pack {
  cells: number;
  capacity_ah: number;
  resistance_ohm: number;
  usable_share: number;
  cutoff_v_cell: number;
  /** As printed on it, Wh. */
  rated_wh?: number | null;
}

export interface Tap {
  id: string;
  name: string;
  voltage: { regulated: { volts: number } } | "follows_pack";
  limit_a: number;
  efficiency: number;
  group?: string | null;
}

export interface TapGroup {
  id: string;
  limit_w: number;
  name?: string | null;
}

export interface Lens {
  id: number;
  name: string;
  mass: Mass;
  length_m: number;
  diameter_m: number;
  cg_ahead_m: number;
  cg_from: CgSource;
  cg_u_m?: number | null;
  cg_shift_m?: number;
  rings?: Rings;
  focal_length_m?: [number, number] | null;
  squeeze?: number | null;
  brings?: number[];
  leaves_off?: number[];
}

export interface Rings {
  focus_m?: number | null;
  iris_m?: number | null;
  zoom_m?: number | null;
}

export interface Move {
  id: number;
  name: string;
  platform:
    | "locked_off"
    | "dolly"
    | "jib"
    | "crane"
    | "road_vehicle"
    | "off_road"
    | "boat"
    | "cable"
    | "side_mount";
  mounting: "hung" | "stood" | "side";
  motion: Motion;
  operator?: AxisMove[];
  ranges?: AxisRange[];
  repeats_per_min: number;
  take_s: number;
  airspeed_m_s: number;
  gust_factor: number;
  altitude_m?: number;
  air_k: number;
  isolator?: Isolator | null;
  share: number;
  /** A break before the next move; the day ends later by it. */
  break_after?: Break | null;
}

export interface Break {
  length_min: number;
  kind: BreakKind;
}

export type BreakKind = "off" | "head_on" | "charging";

export type Motion =
  | {
      own: {
        lean_rad: number;
        rms_m_s2: number;
        peak_m_s2: number;
        slam_m_s2: number;
        band_hz: number;
        turn_rms_rad_s?: number;
        turn_peak_rad_s?: number;
      };
    }
  | {
      road: {
        class: "A" | "B" | "C" | "D" | "E";
        speed_m_s: number;
        wheelbase_m: number;
        lateral_share: number;
        fore_aft_share: number;
        lean_rad: number;
        steady_m_s2: number;
      };
    }
  | { sea: { height_m: number; period_s: number; lean_rad: number; slam_m_s2: number } };

export interface AxisMove {
  joint: string;
  rate_rad_s: number;
  time_s: number;
}

export interface AxisRange {
  joint: string;
  range_rad: [number, number];
}

export interface Isolator {
  natural_hz: number;
  damping: number;
  rated_kg: number;
}

export interface Day {
  start_min: number;
  running_h: number;
  /** How many packs charge at once. */
  charger_places?: number | null;
  /** In how many hours an empty pack is full again. */
  charge_h?: number | null;
}

export interface Tune {
  name: string;
  axes: TunedAxis[];
  check_share: number;
  again_share: number;
}

export interface TunedAxis {
  joint: string;
  inertia_kg_m2: number;
}

export interface LoggedBalance {
  id: number;
  note?: string;
  axes: string[];
  faces?: LoggedFace[];
  marks: LoggedMark[];
  bodies: LoggedBody[];
  tip_rad: number;
  weighed?: Mass;
}

export interface LoggedFace {
  joint: string;
  direction: Vector;
  /** Both ends of the hold zone were felt for: how well the unbalance is known to be nil. */
  u_kg_m?: number;
}

export interface LoggedMark {
  slide: string;
  mark_m: number;
}

export type LoggedOf = { part: number } | { lens: number } | { yoke: number };

export interface LoggedBody {
  of: LoggedOf;
  cg_m: Vector;
  place?: string;
  cg_offset_m?: Vector;
  taken_over?: TakenOver;
}

export interface TakenOver {
  mass: PartMass;
  cg: Cg;
  then_kg: number;
  then_cg_m: Vector;
}

export interface Balancing {
  lens?: number | null;
  parts?: number[];
  ready?: string[];
  other_way?: boolean;
  tried?: Tried[];
  log?: number | null;
}

export interface Tried {
  joint: string;
  at?: LoggedMark;
  seen:
    | "stays"
    | "wants_more"
    | "wants_less"
    | "turns"
    | "left_out"
    | { gauge: { mark_m: number; u_m: number } }
    | { ends: { low_m: number; high_m: number } };
}

export interface Library {
  version: number;
  heads: Head[];
  parts: Part[];
  lenses: Lens[];
  moves: Move[];
}

/** A value and its standard uncertainty. */
export interface Estimate {
  value: number;
  u: number;
}

/** An answer, or the fields without which there is none. */
export type Answer<T> = { known: T } | { needs: string[] };

export interface Report {
  mass: MassReport;
  slides: SlideReport[];
  axes: AxisReport[];
  torque: Answer<TorqueReport>;
  power: PowerReport;
  learned: { void: number; agreement: unknown; lessons: unknown[] } | null;
  findings: Finding[];
  not_checked: string[];
  /** What does not go on or turn clear, gravest first. */
  fit: FitFinding[];
  /** How stiff the package is from the head's stage to the front of the lens. */
  stiffness: Answer<StiffnessReport>;
  /** The day on its packs; times are minutes after midnight of its first day. */
  day: DayReport;
  /** Which load goes on which tap. */
  wiring: WiringReport;
}

export interface DayReport {
  start_min: number;
  end_min: number;
  /** The moves in their order. */
  blocks: DayBlock[];
  changes: PackChange[];
  /** Changes that a break can take, so that fewer fall into the middle of a move. */
  break_changes: BreakChange[];
  /** Every pack change with these in their breaks; empty without them. */
  changes_then: PackChange[];
  /** The charge along the day. */
  charge: ChargePoint[];
  /** Sets of packs that the day takes with packs changed as they run out. */
  sets: number | null;
  packs_in_set: number;
  /** Place of the block that full packs cannot feed. */
  collapses_in: number | null;
  /** Null without a pack change. */
  charging: ChargingReport | null;
  flying: FlyingPack[];
}

export interface DayBlock {
  move_id: number | null;
  name: string;
  from_min: number;
  to_min: number;
  power_w: number;
  /** What head and packs do meanwhile; null for a move. */
  in_break: BreakKind | null;
}

export interface PackChange {
  at_min: Estimate;
  /** Place of the block in which it falls. */
  block: number;
  name: string;
  /** What is left in the set that comes off, 0 to 1. */
  left: number;
  full_again_min: number;
}

export interface BreakChange {
  /** Place of the break among the blocks. */
  block: number;
  name: string;
  at_min: number;
  /** What is left then in the set that comes off, 0 to 1. */
  left: number;
  runs_out_in: string;
  runs_out_block: number;
  /** How far into that move the packs would run out. */
  into_min: Estimate;
  /** Whether they may run out before the break begins. */
  may_come_before: boolean;
  /** How many fewer changes then fall into the middle of a move. */
  saves: number;
}

export interface ChargePoint {
  at_min: number;
  share: number;
}

export interface ChargingReport {
  places: number;
  hours: number;
  /** Whether nobody has said one of these two. */
  typical: boolean;
  /** Sets that the day takes; with changes in breaks where these take more. */
  sets: number;
  /** Sets that must be full before the day, the first included, whichever way packs are changed. */
  charged_before: number;
  comes_round: boolean;
  spare_min: number | null;
}

export interface FlyingPack {
  names: string[];
  rated_wh: number;
  /** Whether it is worked out from cells and capacity, for nobody has read it off the pack. */
  typical: boolean;
  /** In all sets of the day. */
  count: number;
  rule: "cabin" | "approval" | "cargo_only";
  near_limit: boolean;
  people: number | null;
}

export interface WiringReport {
  verdict: "nothing" | "keep" | "change" | "change_perhaps_more" | "none_exists" | "not_found";
  changes: Rewire[];
  tightest: TightestTap | null;
  /** Loads that no tap can feed even alone. */
  unfeedable: Unfeedable[];
  /** Each part without which the others can be fed, where all together are too much. */
  without: number[];
  cables: CableAdvice[];
}

export interface Rewire {
  part: number;
  name: string;
  from: string | null;
  to: string;
  to_name: string;
}

export interface TightestTap {
  name: string;
  peak_a: number;
  limit_a: number;
}

export interface Unfeedable {
  part: number;
  name: string;
  refused: { tap: string; why: unknown }[];
}

export interface CableAdvice {
  part: number;
  name: string;
  length_m: number;
  now_mm2: number;
  needed_mm2: number | null;
  thinnest: Conductor | null;
  /** For the voltage. */
  too_thin: boolean;
  /** For what its tap lets through. */
  hot: boolean;
}

export interface Conductor {
  gauge: number | null;
  metric_mm2: number | null;
}

/** The two planes in which the package bends. */
export type Plane = "upright" | "sideways";

export interface StiffnessReport {
  /** The plane of the first mode. */
  plane: Plane;
  first_hz: Estimate;
  crossover_hz: number;
  /** First mode over crossover. */
  ratio: Estimate;
  /** "watch" also where a limit of the rule lies within the ± of the ratio. */
  verdict: "good" | "watch" | "will_ring";
  planes: PlaneReport[];
  sag: SagReport;
  /** Single changes that lift the first mode, the one that helps most first. */
  changes: ChangeReport[];
  findings: StiffnessFinding[];
  assumed: string[];
}

export interface PlaneReport {
  plane: Plane;
  hz: Estimate;
  second_hz: number | null;
  /** Shares of the strain energy. */
  bends: { name: string; share: number }[];
  lines: DrawnLine[];
}

export interface DrawnLine {
  what: "plate" | "body" | "lens" | "front" | "rods" | "support";
  /** From the camera datum: ahead, and up or left. */
  rest_m: [number, number][];
  /** How the first mode moves them; the largest shift of all is 1. */
  moved: [number, number][];
}

/** What changes from level to lens up. */
export interface SagReport {
  front_m: Estimate;
  body_rad: Estimate;
  lens_rad: Estimate;
  picture_m: Answer<Estimate>;
  of_height: Answer<Estimate>;
}

export interface ChangeReport {
  /** What is changed: `is` names it. */
  change: { is: string; [detail: string]: unknown };
  first_hz: number;
  ratio: number;
  gain: number;
}

export interface StiffnessFinding {
  severity: "no-go" | "watch" | "note";
  matter: { is: string; [detail: string]: unknown };
  /** The sentence that a person reads, in SI units. */
  text: string;
}

export interface FitFinding {
  severity: "no-go" | "watch" | "note";
  /** Name of the part that is in the way. */
  part: string;
  matter: { is: string; [field: string]: unknown };
  /** The sentence that a person reads, in SI units. */
  text: string;
}

export interface Finding {
  severity: "no-go" | "watch" | "note";
  /** What is the matter, as data: `is` names it. */
  matter: { is: string; [detail: string]: unknown };
  /** The sentence or two that a person reads. */
  text: string;
}

export interface MassReport {
  camera_kg: Estimate;
  payload_kg: [number, number];
  camera_cg_from_flange_m: [Estimate, Estimate, Estimate] | null;
  all_up_kg: Estimate;
  all_up_cg_m: Vector | null;
  rows: MassRow[];
}

export interface MassRow {
  source: { part: number } | { lens: number } | "yoke";
  name: string;
  camera_side: boolean;
  mass_kg: Estimate;
  cg_m: Vector;
  cg_u_m: number;
}

export interface SlideReport {
  slide: string;
  name: string;
  balances: string | null;
  mark_m: number;
  target_m: Estimate;
  move_m: number;
  word: string;
  left_m: number;
  range_m: [number, number];
  beyond_m: number | null;
  within_travel: number;
  hold_zone_m: number | null;
  within_hold_zone: number | null;
  hole_spacing_m: number | null;
}

export type Hold = { is: "holds"; spare_nm: number } | { is: "turns"; over_nm: number } | { is: "geared" };

export interface AxisReport {
  joint: string;
  name: string;
  inboard_kg: number;
  now_kg_m: Vector;
  residual_kg_m: Vector;
  gravity_in_use_nm: number;
  gravity_any_nm: number;
  gravity_any_now_nm: number;
  gravity_u_nm: number | null;
  friction_nm: number;
  tested_lean_rad: number;
  within_hold_zone: number | null;
  hold: Hold;
  hold_now: Hold;
  inertia_kg_m2: number;
  tune: { change: number; verdict: "keep" | "check" | "redo" } | null;
  finger_force_n: number;
}

export type Cause = "unbalance" | "platform" | "operator" | "wind" | "friction";

export interface TorqueReport {
  moves: MoveTorque[];
  tightest: Tightest | null;
}

export interface Tightest {
  joint: string;
  axis: string;
  move_id: number;
  move_name: string;
  limit: "peak" | "continuous" | "rate";
  headroom: Estimate;
  cause: Cause;
}

export interface MoveTorque {
  move_id: number;
  name: string;
  axes: AxisTorque[];
  motors_w: number;
  near_gimbal_lock: boolean;
  wind_force_n: number;
  air_kg_m3: number;
  fastest_air_m_s: number | null;
  operator_factor: number | null;
  fastest_road_m_s: number | null;
  platform: Record<string, number>;
}

export interface AxisTorque {
  joint: string;
  name: string;
  peak: Terms;
  peak_nm: Estimate;
  continuous: Terms;
  continuous_nm: Estimate;
  peak_limit_nm: number;
  continuous_limit_nm: number;
  peak_headroom: Estimate;
  continuous_headroom: Estimate;
  cause: Cause;
  pose_rad: number[];
  rate_use: number;
  voltage_headroom: number | null;
  coupled_nm: number;
  coupled_by: CoupledTorque[];
  spare_unbalance_kg_m: number | null;
}

export interface CoupledTorque {
  joint: string;
  name: string;
  torque_nm: number;
}

export interface Terms {
  unbalance_nm: number;
  platform_nm: number;
  operator_nm: number;
  wind_nm: number;
  friction_nm: number;
  cable_nm: number;
}

export interface PowerReport {
  loads_w: number;
  motors_w: number;
  draw_w: number;
  taps: TapReport[];
  usable_wh: number;
  runtime_h: Answer<Estimate>;
  change_min: Estimate | null;
  sets: number | null;
  collapsing_w: number | null;
}

export interface TapReport {
  tap: string;
  name: string;
  typical_a: number;
  peak_a: number;
  limit_a: number;
  parts: number[];
}

export interface LensRow {
  lens: number;
  name: string;
  camera_kg: Estimate;
  within_payload: boolean;
  slides: LensMark[];
  hangs: boolean;
  tightest: Tightest | null;
  tune: "keep" | "check" | "redo" | null;
  /** Best estimates say that every axis holds with the marks left; it stays put more often than not, or no better ones are known. */
  may_stay: boolean;
  /** Where best estimates say so: chance that every axis then stays put, as it did with the lens that is on. */
  stays_put: number | null;
}

export interface LensMark {
  slide: string;
  name: string;
  target_m: Estimate;
  change_m: number;
  word: string;
  left_m: number;
  beyond_m: number | null;
}

/** One lens change, marks of one lens to marks of the other. Minutes are typical ones of common practice. */
export interface LensChange {
  from: number | null;
  to: number;
  name: string;
  slides: SlideChange[];
  handled: Handled[];
  clamps: number;
  mass_kg: number;
  /** As in `LensRow`. */
  may_stay: boolean;
  stays_put: StaysPut | null;
  tightest_left: Tightest | null;
  tightest_set: Tightest | null;
  tune: "keep" | "check" | "redo" | null;
  minutes: number;
  minutes_set: number;
  minutes_left: number;
  arithmetic: Term;
}

/** Chance that every axis stays put at the marks at which it stayed put with the lens that comes off. */
export interface StaysPut {
  chance: number;
  arithmetic: Term;
}

export interface SlideChange {
  slide: string;
  name: string;
  from_m: number;
  to_m: number;
  change_m: number;
  word: string;
  moves: boolean;
}

export interface Handled {
  part: number;
  name: string;
  what: { is: "on" } | { is: "off" } | { is: "moved"; ahead_m: number };
}

/** One lens before it goes on. Pairs are with the lens that is on, then with this one. */
export interface LensPreview {
  lens: number;
  name: string;
  verdict: "yes" | "yes_if" | "no";
  reasons: ({ check: Omit<Finding, "text"> } | { fit: Omit<FitFinding, "text"> })[];
  change: LensChange | null;
  moves: MovePrice[];
  hours: [number | null, number | null];
  view: Answer<FieldOfView>;
}

export interface MovePrice {
  move_id: number;
  name: string;
  in_hand: [number, number];
  operator_factor: [number | null, number | null];
  road_m_s: [number | null, number | null];
}

export interface FieldOfView {
  widest: View;
  longest: View | null;
  arithmetic: Term;
}

export interface View {
  focal_m: number;
  across_rad: number;
  upright_rad: number;
}

/** One set of marks for many lenses. */
export interface CommonMarks {
  slides: CommonMark[];
  axes: CommonAxis[];
  lenses: CommonLens[];
}

export interface CommonMark {
  slide: string;
  name: string;
  mark_m: number;
  move_m: number;
  word: string;
  left_m: number;
}

export interface CommonAxis {
  joint: string;
  name: string;
  worst_kg_m: number;
  at_least_kg_m: number;
  worst_lens: number;
  held_kg_m: number | null;
  arithmetic: Term;
}

export interface CommonLens {
  lens: number;
  name: string;
  hangs: boolean;
  tightest: Tightest | null;
  tightest_own: Tightest | null;
}

/** Trim weights that make lighter lenses match the heaviest. */
export interface TrimReport {
  heaviest: number;
  name: string;
  /** Change of inertia above which the tune would have to be looked at. */
  tune_share: number;
  lenses: LensTrim[];
  not_checked: string[];
}

export interface LensTrim {
  lens: number;
  name: string;
  lighter_kg: number;
  inertia_change: number;
  /** Best first; one without weights where the lens matches as it is, none where nothing at hand does it. */
  trims: Trim[];
  nearest: NearestTrim | null;
}

export interface Trim {
  weights: TrimWeight[];
  words: string;
  added_kg: number;
  added_kg_m2: number;
  inertia_change: number;
  tightest: Tightest | null;
  /** What no longer fits or is no longer carried with them. */
  unfit: (
    | { fit: Omit<FitFinding, "text"> }
    | { stiffness: Omit<StiffnessFinding, "text"> }
    | { check: Omit<Finding, "text"> }
  )[];
}

export interface TrimWeight {
  change: "weight";
  kg: number;
  at:
    | "behind_body"
    | "rod_front"
    | "left"
    | "right"
    | "top"
    | "under"
    | { head: { place: string; name: string; ahead: boolean } };
}

/** The weights with which the worst of unbalance over friction and change of inertia over the tune's is least. */
export interface NearestTrim {
  weights: TrimWeight[];
  words: string;
  added_kg: number;
  most_kg: number;
  use_of_allowed: number;
  turning: TurningAxis[];
  off: OffInertia[];
}

export interface TurningAxis {
  joint: string;
  axis: string;
  unbalance_kg_m: number;
  held_kg_m: number;
}

export interface OffInertia {
  joint: string;
  axis: string;
  inertia_change: number;
}

/** Which answer is to be opened. */
export type AnswerId =
  | "camera_mass"
  | "arm_mass"
  | "runtime"
  | "stiffness"
  | { mark: string }
  | { hang: string }
  | { tap: string }
  | { how_far: number }
  | { torque: { joint: string; move_id: number } };

/** One line of the arithmetic, with the lines that it is made of. */
export interface Term {
  label: string;
  value: number | null;
  u: number | null;
  unit: string;
  formula: string | null;
  source: string | null;
  of: Term[];
}
