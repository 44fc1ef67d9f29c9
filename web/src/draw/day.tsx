// The day as a band: how much there is to spare at every minute, how bright it
// is, and the hours that were offered. Above the line it is a yes.

export interface Moment {
  minutes: number;
  altitude: number;
  azimuth: number;
  ev: number;
  margin: number | null;
}

export interface DayProps {
  width: number;
  height: number;
  moments: Moment[];
  now: number;
  uncertainty: number;
  slots: { from: number; to: number }[];
  hours: (minutes: number) => string;
  write: (stops: number) => string;
  onGrab: () => void;
  onMove: (minutes: number) => void;
  onDrop: () => void;
  onKey: (key: string, fine: boolean) => boolean;
}

/** at reads the day between two moments. */
export function at(moments: Moment[], minutes: number): Moment | null {
  const i = moments.findIndex((m) => m.minutes >= minutes);
  if (i < 0 || !moments.length) return null;
  const b = moments[i]!;
  const a = moments[Math.max(i - 1, 0)]!;
  if (a === b || b.minutes === a.minutes) return b;
  const t = (minutes - a.minutes) / (b.minutes - a.minutes);
  const mix = (x: number, y: number) => x + t * (y - x);
  const margin = a.margin === null || b.margin === null ? (t < 0.5 ? a.margin : b.margin) : mix(a.margin, b.margin);
  return { minutes, altitude: mix(a.altitude, b.altitude), azimuth: t < 0.5 ? a.azimuth : b.azimuth, ev: mix(a.ev, b.ev), margin };
}

const most = 3; // stops; more to spare than that is drawn no higher

export function Day(p: DayProps) {
  const from = (p.moments[0]?.minutes ?? 360) - 20;
  const to = (p.moments.at(-1)?.minutes ?? 1200) + 20;
  const [left, right, top, bottom] = [p.width < 700 ? 52 : 68, 16, 30, 24];
  const X = (m: number) => left + ((m - from) / (to - from)) * (p.width - left - right);
  const minutesAt = (x: number) => from + ((x - left) / (p.width - left - right)) * (to - from);
  const tall = p.height - top - bottom;
  const zero = top + tall * 0.6;
  const Y = (s: number) => zero - (Math.max(Math.min(s, most), -2) / most) * (tall * 0.6);
  const solved = p.moments.filter((m) => m.margin !== null);
  const line = solved.map((m) => `${X(m.minutes).toFixed(1)} ${Y(m.margin!).toFixed(1)}`).join("L");
  const evs = p.moments.map((m) => m.ev);
  const [e0, e1] = [Math.min(...evs, 6), Math.max(...evs, 15)];
  const E = (ev: number) => top + tall * (1 - (0.94 * (ev - e0)) / (e1 - e0));
  const here = at(p.moments, p.now);
  const hours: number[] = [];
  for (let h = Math.ceil(from / 60); h * 60 <= to; h++) hours.push(h);
  const bright = p.moments[Math.floor(p.moments.length / 5)]!; // where the line of light is named
  const each = p.width / hours.length < 44 ? 2 : 1;
  const words = !p.moments.length ? "" : here ? `EV ${here.ev.toFixed(1)}${here.margin === null ? " · no setting" : ` · ${p.write(here.margin)} stops`}` : "sun below";

  const grab = (e: PointerEvent) => {
    if (e.button) return;
    const svg = e.currentTarget as SVGSVGElement;
    svg.setPointerCapture(e.pointerId);
    p.onGrab();
    const move = (m: PointerEvent) => p.onMove(Math.round(minutesAt(m.clientX - svg.getBoundingClientRect().left)));
    const drop = () => {
      svg.removeEventListener("pointermove", move);
      svg.removeEventListener("pointerup", drop);
      svg.removeEventListener("pointercancel", drop);
      p.onDrop();
    };
    svg.addEventListener("pointermove", move);
    svg.addEventListener("pointerup", drop);
    svg.addEventListener("pointercancel", drop);
    move(e);
  };
  const nowX = X(Math.min(Math.max(p.now, from), to));
  const flip = nowX > p.width - 190;
  return (
    <svg class="day" width={p.width} height={p.height} tabindex={0} role="slider" aria-label="Hour" aria-valuemin={Math.round(from)} aria-valuemax={Math.round(to)} aria-valuenow={Math.round(p.now)} aria-valuetext={`${p.hours(p.now)}, ${words}`}
      onPointerDown={grab} onKeyDown={(e) => p.onKey(e.key, e.shiftKey) && e.preventDefault()}>
      <defs>
        <clipPath id="below"><rect y={zero} width={p.width} height={p.height - zero} /></clipPath>
        <clipPath id="above"><rect width={p.width} height={zero} /></clipPath>
        <pattern id="short" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0H5" class="short-line" /></pattern>
      </defs>
      {p.moments.length > 1 && <path class="level-line" d={"M" + p.moments.map((m) => `${X(m.minutes).toFixed(1)} ${E(m.ev).toFixed(1)}`).join("L")} />}
      {solved.length > 1 && (
        <g>
          <path class="spare" clip-path="url(#above)" d={`M${X(solved[0]!.minutes)} ${zero}L${line}L${X(solved.at(-1)!.minutes)} ${zero}Z`} />
          <path class="lack" clip-path="url(#below)" d={`M${X(solved[0]!.minutes)} ${zero}L${line}L${X(solved.at(-1)!.minutes)} ${zero}Z`} />
          <path class="margin-line" d={"M" + line} />
        </g>
      )}
      <path class="zero" d={`M10 ${zero}H${p.width - right}`} />
      {p.moments.length > 1 && (
        <g class="band-names">
          <text x="10" y={zero - 5}>to spare</text>
          <text x="10" y={zero + 13}>short</text>
          <text x={X(bright.minutes)} y={E(bright.ev) - 6} text-anchor="middle">light</text>
        </g>
      )}
      {p.slots.map((s) => <path key={s.from} class="slot" d={`M${X(s.from)} ${p.height - bottom - 3}H${X(s.to)}`} />)}
      {hours.filter((h) => h % each === 0).map((h) => (
        <g key={h}>
          <path class="hour" d={`M${X(h * 60)} ${p.height - bottom}v5`} />
          <text class="hour-name" x={X(h * 60)} y={p.height - 5} text-anchor="middle">{p.hours(h * 60)}</text>
        </g>
      ))}
      <path class="earth" d={`M${left} ${p.height - bottom}H${p.width - right}`} />
      <path class="now" d={`M${nowX} 6V${p.height - bottom}`} />
      {here?.margin != null && <circle class="now-spot" cx={nowX} cy={Y(here.margin)} r="5" />}
      <g class="now-words">
        <text x={nowX + (flip ? -9 : 9)} y="18" text-anchor={flip ? "end" : "start"}><tspan class="now-hour">{p.hours(p.now)}</tspan>  {words}</text>
      </g>
    </svg>
  );
}
