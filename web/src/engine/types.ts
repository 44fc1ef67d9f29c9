// Made from the Go types of packages api and session by go test ./web -run Types -update; do not edit.

export interface ActionAnswer {
  setup: string;
  movement: string;
  speed_mps: number;
  shutter: string;
  freezes: string;
  blur_px: number;
  flash_px: number;
  ghost_pct: number;
  ghost_seen: boolean;
  pops_in_window: number;
  lasts_s: number;
  window_ms: number;
  lag_ms: number;
  cue_ms: number;
  spread_ms: number;
  press: string;
  hit_pct: number;
  tries: number;
  tries_for_90_pct: number | null;
  tries_limited_by: string;
  try_every_s: number;
  sources: string[];
}

export interface AdjustAnswer {
  setup: string;
  ambient_change_stops: number;
  now: string;
  steps: AdjustStep[];
  sun_state: State;
  cloud_state: State;
  notes: Note[];
}

export interface AdjustRequest {
  plan: PlanAnswer;
  setup?: string;
  ambient_change_stops?: number;
  meter_ev100?: number;
  seen?: SeenJSON[];
}

export interface AdjustStep {
  knob: string;
  from: string;
  to: string;
  stops: number;
  text: string;
}

export interface AvoidJSON {
  from_deg: number;
  to_deg: number;
  text: string;
  regret_stops: number;
}

export interface BallastSafety {
  ballast_mast_kg: number;
  ballast_foot_kg: number;
  ballast_have_kg: number | null;
  ballast_short_kg: number;
  change: string;
  text: string;
}

export interface Calibration {
  heads?: HeadCalibration[];
  pairs?: PairCalibration[];
}

export interface Camera {
  sensor: string;
  megapixels?: number;
  sync: string;
  fastest?: string;
  shutter?: string;
  iso_min?: number;
  iso_max?: number;
  dial?: string;
}

export interface CameraJSON {
  sync_s: number;
  fastest_s: number;
  slowest_s: number;
  shutter: string;
  iso_min: number;
  iso_max: number;
  dial: string;
}

export interface CameraPosition {
  distance_m: number;
  height_m: number;
  bearing_deg: number;
  upright?: boolean;
}

export interface ColdSafety {
  level: string;
  wind_chill_c: number;
  text: string;
}

export interface Corner {
  azimuth_deg: number;
  altitude_deg: number;
}

export interface DayAnswer {
  date: string;
  zone: string;
  sunrise_at: string | null;
  sunset_at: string | null;
  distance_m: number;
  under_stops: number;
  camera_bearing_deg: number;
  pairs: DayPair[];
  steps: DayStep[];
  slots: DaySlot[];
  assumptions: string[];
}

export interface DayPair {
  head: string;
  modifier: string;
}

export interface DayRequest {
  session: Session;
  every_s?: number;
  distance_m?: number;
  under_stops?: number;
}

export interface DaySlot {
  start_at: string;
  end_at: string;
  pair: DayPair;
  margin_at_sync_stops: number;
}

export interface DayStep {
  at: string;
  altitude_deg: number;
  azimuth_deg: number;
  from_camera_axis_deg: number;
  background_ev100: number;
  face_ev100: number;
  margins_at_sync_stops: number[];
  margins_high_speed_stops: number[];
}

export interface DaylightJSON {
  background_ev100: number;
  face_ev100: number;
  edge_ev100: number;
  cct_k: number;
  model: string;
  uncertainty_stops: number;
  lamps_lx: number;
}

export interface DoJSON {
  role?: string;
  distance_m?: number;
  under_stops?: number;
  f_number_max?: number;
}

export interface DriftAnswer {
  setup: string;
  bearing_deg: number;
  last_sun_at: string | null;
  sunset_at: string | null;
  rows: DriftRow[];
  assumptions: string[];
  notes: Note[];
}

export interface DriftRow {
  at: string;
  altitude_deg: number;
  sun_from_subject_deg: number;
  sun: string;
  background_ev100: number;
  face_ev100: number;
  cct_k: number;
  change_stops: number;
  state: State;
  turn: string[];
}

export interface Error {
  code: string;
  field?: string;
  line?: number;
  column?: number;
  text: string;
  hint?: string;
}

export interface Field {
  name: string;
  bearing_deg: number;
  east_m?: number;
  north_m?: number;
}

export interface Head {
  id: string;
  class?: string;
  name?: string;
  energy_ws?: number;
  guide_number_m?: number;
  guide_number_modifier?: string;
  guide_number_iso?: number;
  hss_entry_stops?: number;
}

export interface HeadCalibration {
  head: string;
  efficacy_stops: number;
  efficacy_error_stops: number;
  power_slope: number;
  power_slope_error: number;
  hss_entry_stops: number;
  hss_entry_error_stops: number;
  efficacy_measured?: boolean;
  power_slope_measured?: boolean;
  hss_entry_measured?: boolean;
}

export interface HeadDay {
  head: string;
  pops: number;
  charges: number;
  spare_batteries: number;
  rest_min: number;
}

export interface HeadJSON {
  id: string;
  name: string;
  energy_ws: number;
  range_stops: number;
  step_stops: number;
  efficacy_stops: number;
  error_stops: number;
  hss_entry_stops: number;
  hss_entry_error_stops: number;
  hss_range_stops: number;
  recycle_s: number;
  pops_per_charge: number;
  pops_before_rest: number;
  t05_s: number;
  t01_s: number;
  pulse: string;
  mass_kg: number;
  source: string;
  basis: string;
  guide_number_bare_m: number;
}

export interface HeatSafety {
  level: string;
  wbgt_c: number | null;
  wbgt_estimate: boolean;
  heat_index_c: number | null;
  heat_index_band: string;
  activity_table: string;
  action: string;
  text: string;
}

export interface Kit {
  camera: Camera;
  lenses: Lens[];
  heads: Head[];
  modifiers?: Modifier[];
  stands?: Stand[];
  nd_stops?: number[];
  gels?: string[];
  ballast_kg?: number;
  calibration?: Calibration;
}

export interface KitAnswer {
  heads: HeadJSON[];
  modifiers: ModifierJSON[];
}

export interface Lens {
  id: string;
  name?: string;
  focal_min_mm: number;
  focal_max_mm: number;
  f_min: number;
  f_max?: number;
  filter_mm?: number;
}

export interface LensSeen {
  focal_mm: number;
  near_m: number;
  far_m: number | null;
  blur_px: number | null;
  flash_blur_px: number | null;
}

export interface Light {
  role: string;
  head: string;
  modifier?: string;
  stand?: string;
  distance_m?: number;
  distance_min_m?: number;
  distance_max_m?: number;
  angle_deg?: number;
  height_m?: number;
}

export interface LightJSON {
  role: string;
  head: string;
  modifier: string;
  distance_m: number;
  ground_m: number;
  paces: number;
  angle_deg?: number;
  height_m?: number;
  power: string;
  power_stops: number;
  flash_stops: number;
  total_stops: number;
  margin_stops: number;
  recycle_s: number;
  pops_per_charge: number;
  hss_entry_stops: number;
  power_range_stops: number;
  power_step_stops: number;
}

export interface LightningSafety {
  level: string;
  last_at: string | null;
  restart_at: string | null;
  text: string;
}

export interface Look {
  under_stops: number;
  key_stops?: number;
  edge_stops?: number;
  fill_stops?: number;
  f_number?: number;
  f_number_min?: number;
  f_number_max?: number;
  depth_m?: number;
  blur_px?: number;
  speed_mps?: number;
  iso_max?: number;
  route?: string;
}

export interface Memory {
  notes?: string[];
  past?: Past[];
}

export interface Modifier {
  id: string;
  class: string;
  name?: string;
}

export interface ModifierJSON {
  id: string;
  name: string;
  shape: string;
  width_m: number;
  height_m: number;
  guide_number_m_per_root_ws: number;
  error_stops: number;
  beam_deg: number;
  setback_m: number;
  mass_kg: number;
  wind_area_m2: number;
  drag_coefficient: number;
  shift_mired: number;
  source: string;
  basis: string;
}

export interface Note {
  code: string;
  severity: string;
  text: string;
  hint?: string;
}

export interface OrderAnswer {
  title: string;
  start_at: string;
  finish_at: string | null;
  end_at: string;
  fits: boolean;
  slack_min: number | null;
  now: string;
  rows: OrderRow[];
  lights_moved: number;
  lens_changes: number;
  change_min: number;
  change_min_as_listed: number | null;
  exact: boolean;
  method: string;
  change_min_bound: number;
  heads: HeadDay[];
  turns: Turn[];
  actions: ActionAnswer[];
  ways_out: OrderWayOut[];
  assumptions: string[];
  notes: Note[];
}

export interface OrderRequest {
  session: Session;
  finish?: string;
  behind_min?: number;
  done?: string[];
  people?: number;
  minutes_each?: number;
  as_listed?: boolean;
}

export interface OrderRow {
  setup: string;
  title: string;
  begin_at: string;
  end_at: string;
  fixed: boolean;
  late_min: number;
  wait_min: number;
  change_min: number;
  changes: string[];
  work_min: number;
  rest_min: number;
  head_rest_min: number;
  sweat_after?: string;
  shots: OrderShot[];
}

export interface OrderShot {
  number: number;
  id: string;
  title: string;
  minutes: number;
  frames: number;
  frames_asked: number;
  every_s: number;
  limited_by: string;
  must: boolean;
}

export interface OrderWayOut {
  change: string;
  saves_min: number;
  enough: boolean;
}

export interface PairCalibration {
  head: string;
  modifier: string;
  guide_number_m: number;
  gain_stops: number;
  error_stops: number;
  readings?: number;
}

export interface Past {
  at: string;
  setup: string;
  shutter: string;
  f_number: number;
  iso: number;
  nd_stops?: number;
  key_power_stops?: number;
  key_distance_m?: number;
  verdict?: string;
}

export interface Person {
  id: string;
  name?: string;
  age?: number;
  handedness?: string;
  height_m?: number;
  sex?: string;
  skin?: string;
  hair?: string;
  wears?: Wears;
  arrives?: string;
  leaves?: string;
}

export interface Place {
  name?: string;
  lat_deg: number;
  lon_deg: number;
  elevation_m?: number;
  zone: string;
  ground?: string;
  ground_reflectance?: number;
  memory?: Memory;
  field?: Field;
  solids?: Solid[];
  field_light_lx?: number;
  horizon?: Corner[];
}

export interface PlanAnswer {
  format: string;
  title: string;
  place: string;
  start_at: string;
  zone: string;
  camera: CameraJSON;
  setups: SetupAnswer[];
  assumptions: string[];
  notes: Note[];
}

export interface Planned {
  route: string;
  shutter: string;
  shutter_s: number;
  aperture: string;
  f_number: number;
  iso: number;
  nd_stops: number;
  background_stops: number;
  lights: LightJSON[];
  margin_stops: number;
  uncertainty_stops: number;
  limited_by: string;
  blur_px?: number;
}

export interface Player {
  id: string;
  name?: string;
  number?: string;
  arrives?: string;
}

export interface PreviewAnswer {
  setup: string;
  title: string;
  view: string;
  width_px: number;
  height_px: number;
  settings: SettingsJSON;
  probes: SceneProbe[];
  assumptions: string[];
  notes: Note[];
}

export interface ReasonJSON {
  why: string;
  what?: string;
  regret_stops: number;
  text: string;
}

export interface SafetyJSON {
  stands: StandSafety[];
  ballast: BallastSafety | null;
  heat: HeatSafety;
  cold?: ColdSafety;
  uv: UVSafety;
  lightning: LightningSafety;
  youth: boolean;
  unknown: string[];
  own: string[];
  sources: string[];
  decides: string;
}

export interface SceneProbe {
  name: string;
  x: number;
  y: number;
  total_stops: number;
  sun_stops: number;
  sky_stops: number;
  lamps_stops: number;
  lights_stops: Record<string, number>;
  noise_stops: number;
}

export interface SeenJSON {
  role: string;
  stops: number;
}

export interface Session {
  format: string;
  title: string;
  id?: string;
  place: Place;
  start: string;
  fold?: string;
  sky: Sky;
  weather?: Weather;
  kit: Kit;
  people?: Person[];
  roster?: Player[];
  setups: Setup[];
  slots?: Slot[];
  notes?: string;
}

export interface SettingsJSON {
  shutter: string;
  shutter_s: number;
  aperture: string;
  f_number: number;
  iso: number;
  nd_stops: number;
}

export interface Setup {
  id: string;
  title?: string;
  at?: string;
  minutes?: number;
  minutes_each?: number;
  skin?: string;
  camera: CameraPosition;
  subject?: Subject;
  lens: string;
  focal_mm: number;
  lights: Light[];
  look: Look;
  shots?: Shot[];
}

export interface SetupAnswer {
  id: string;
  title: string;
  at: string;
  sun: SunSeen;
  daylight: DaylightJSON;
  lens?: LensSeen;
  reaches: boolean;
  answer: Planned | null;
  runner_up: Planned | null;
  routes: Planned[];
  margin_stops: number | null;
  uncertainty_stops: number;
  limited_by: string;
  too_bright?: boolean;
  slowest_s: number;
  cloud?: AdjustAnswer;
  safety: SafetyJSON;
  assumptions: string[];
  ways_out: WayOutJSON[];
  notes: Note[];
}

export interface SetupWays {
  id: string;
  title: string;
  yes: boolean;
  say: string;
  best: WayJSON;
  runner_up: WayJSON | null;
  as_planned: WayJSON;
  avoid: AvoidJSON[];
  variants: VariantJSON[];
  settings: Planned | null;
  lights: StandJSON[];
  changes: string[];
  ways_out: WayOutJSON[];
  all?: WayJSON[];
}

export interface Shot {
  id: string;
  title?: string;
  frames?: number;
  minutes?: number;
  must?: boolean;
}

export interface Sky {
  kind: string;
  name?: string;
  oktas?: number;
  metar?: string;
  dni_wm2?: number;
  dhi_wm2?: number;
  meter_ev100?: number;
  turbidity?: number;
}

export interface Slot {
  start: string;
  fold?: string;
  minutes: number;
}

export interface SlotWays {
  number: number;
  start_at: string;
  end_at: string;
  sun_altitude_deg: [number, number];
  sun_azimuth_deg: [number, number];
  sun_leaves_mark_at: string | null;
  sun_reaches_mark_at: string | null;
  regret_stops: number;
  setups: SetupWays[];
}

export interface Solid {
  kind: string;
  name?: string;
  label?: string;
  bearing_deg?: number;
  distance_m?: number;
  east_m?: number;
  north_m?: number;
  width_m?: number;
  depth_m?: number;
  height_m?: number;
  turn_deg?: number;
  lit?: boolean;
}

export interface Stand {
  id: string;
  max_height_m: number;
  leg_radius_m: number;
  legs?: number;
  mass_kg: number;
}

export interface StandJSON {
  role: string;
  head: string;
  modifier: string;
  angle_deg: number;
  bearing_deg: number;
  bearing_magnetic_deg: number | null;
  foot_east_north_m: [number, number];
  from_mark_m: number;
  paces: number;
  distance_m: number;
  height_m: number;
  rise_deg: number;
  by_sun: boolean;
  trouble?: string;
  moved_deg?: number;
  text: string;
}

export interface StandSafety {
  level: string;
  role: string;
  stand: string;
  height_m: number;
  gust_mps: number | null;
  tip_speed_mps: number;
  ballast_mast_kg: number | null;
  ballast_foot_kg: number | null;
  keep_out_m: number;
  text: string;
}

export interface State {
  route: string;
  shutter: string;
  shutter_s: number;
  aperture: string;
  f_number: number;
  iso: number;
  nd_stops: number;
  powers: string[];
  distances_m: number[];
  background_stops: number;
  short_stops: number;
}

export interface Subject {
  faces_deg?: number;
  person?: string;
  pose?: string;
  holds?: string;
}

export interface SunSeen {
  altitude_deg: number;
  azimuth_deg: number;
  from_camera_axis_deg: number;
  from_face_deg: number;
  where: string;
}

export interface Turn {
  setup: string;
  number: number;
  id: string;
  name: string;
  shirt: string;
  at: string | null;
  moved: boolean;
}

export interface UVSafety {
  level: string;
  uv_index: number;
  uv_band: string;
  text: string;
}

export interface VariantJSON {
  variant: string;
  exists: boolean;
  bearing_deg: number | null;
  regret_stops: number | null;
  margin_stops: number | null;
  text: string;
}

export interface WayJSON {
  bearing_deg: number;
  bearing_magnetic_deg: number | null;
  mark_east_north_m: [number, number];
  camera_east_north_m: [number, number];
  regret_stops: number;
  reasons: ReasonJSON[];
  margin_stops: number;
  margin_cloud_stops: number | null;
  route: string;
  light: string;
  sun_from_subject_deg: number;
  sun: string;
  sunlit_share: number;
  background_ev100: number;
  face_ev100: number;
  sky_behind_stops: number | null;
}

export interface WayOutJSON {
  change: string;
  gain_stops: number;
  margin_stops: number;
  do?: DoJSON;
}

export interface WaysAnswer {
  title: string;
  place: string;
  zone: string;
  declination_magnetic_deg: number | null;
  best_slot: number;
  slots: SlotWays[];
  assumptions: string[];
  notes: Note[];
}

export interface Wears {
  headgear?: string;
  headgear_colour?: string;
  brim_mm?: number;
  shirt?: string;
  shorts?: string;
  socks?: string;
  shoes?: string;
  singlet?: boolean;
  trousers?: boolean;
}

export interface Weather {
  temperature_c?: number;
  humidity_pct?: number;
  wind_mps?: number;
  gust_mps?: number;
}

/** What a body can do. */
export const poses = [
  "stand",
  "arms crossed",
  "hands on hips",
  "reach to camera",
  "toss",
  "ready",
  "draw-back",
  "release",
  "follow-through",
  "javelin carry",
  "javelin draw",
  "kick back-swing",
  "kick",
  "leap",
  "crouch",
  "kneel",
  "seated",
  "wheelchair",
  "sprint start",
  "sprint drive",
  "run",
  "arms raised",
];

/** Skies by name, in the order of their light. */
export const skies = [
  "clear",
  "hazy",
  "thin-high-cloud",
  "broken",
  "overcast",
  "heavy-overcast",
];

/** The stops view, a stop each, darkest first. */
export const tints = [
  "rgb(14 14 40)",
  "rgb(24 28 78)",
  "rgb(34 50 112)",
  "rgb(46 78 138)",
  "rgb(66 106 152)",
  "rgb(96 130 152)",
  "rgb(128 128 128)",
  "rgb(176 150 96)",
  "rgb(214 170 88)",
  "rgb(238 196 110)",
  "rgb(250 226 164)",
];

/** Which tint is mid-tone. */
export const midTint = 6;
