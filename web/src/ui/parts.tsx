// Small parts every panel is made of.

import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import { faultAt } from "../state/store";
import { local } from "../state/words";

/** Wide holds a drawing that is as wide as there is room. */
export function Wide({ children }: { children: (width: number) => ComponentChildren }) {
  const box = useRef<HTMLDivElement>(null);
  const [w, setW] = useState(0);
  useEffect(() => {
    const watch = new ResizeObserver(([e]) => e && setW(Math.floor(e.contentRect.width)));
    watch.observe(box.current!);
    return () => watch.disconnect();
  }, []);
  return <div class="as-wide" ref={box}>{w > 0 && children(w)}</div>;
}

export function Field({ label, children, hint }: { label: string; children: ComponentChildren; hint?: string }) {
  return (
    <label class="field">
      <span>{label}</span>
      {children}
      {hint && <small>{hint}</small>}
    </label>
  );
}

interface NumProps {
  label: string;
  value: number | undefined;
  unit?: string;
  step?: number;
  min?: number;
  max?: number;
  digits?: number;
  hint?: string;
  at?: string; // its path in the session: what is wrong there is said here
  onSet: (x: number | undefined) => void;
}

/** Num is a number with its unit; nothing in it means it was not said. */
export function Num(p: NumProps) {
  const shown = p.value === undefined ? "" : String(Number(p.value.toFixed(p.digits ?? 2)));
  const [typed, setTyped] = useState<string | null>(null);
  const about = useId();
  const fault = faultAt(p.at);
  const set = () => {
    if (typed === null) return;
    const x = typed.trim() === "" ? undefined : Number(typed.replace(",", ".").replace("−", "-"));
    setTyped(null);
    if (x === undefined || Number.isFinite(x)) p.onSet(x === undefined ? undefined : Math.min(Math.max(x, p.min ?? -Infinity), p.max ?? Infinity));
  };
  const nudge = (by: number) => {
    const from = typed !== null && typed !== "" ? Number(typed) : (p.value ?? 0);
    setTyped(null);
    p.onSet(Math.min(Math.max(Number((from + by).toFixed(4)), p.min ?? -Infinity), p.max ?? Infinity));
  };
  return (
    <label class="field num">
      <span>{p.label}</span>
      <span class="num-box">
        <input inputMode="decimal" value={typed ?? shown} placeholder="–" aria-invalid={fault ? true : undefined} aria-describedby={fault || p.hint ? about : undefined} onInput={(e) => setTyped(e.currentTarget.value)} onBlur={set}
          onKeyDown={(e) => {
            const step = p.step ?? 1;
            if (e.key === "Enter") set();
            else if (e.key === "ArrowUp") nudge(step);
            else if (e.key === "ArrowDown") nudge(-step);
            else return;
            e.preventDefault();
          }} />
        {p.unit && <i>{p.unit}</i>}
      </span>
      {(fault || p.hint) && <small id={about} class={fault ? "fault" : undefined} role={fault ? "alert" : undefined}>{fault ? local(fault) : p.hint}</small>}
    </label>
  );
}

/** Fault says what is wrong with a part of the session, where something is. */
export function Fault({ at }: { at: string }) {
  const fault = faultAt(at);
  return fault ? <small class="fault" role="alert">{local(fault)}</small> : null;
}

export function Text({ label, value, onSet, type }: { label: string; value: string; onSet: (x: string) => void; type?: "text" | "datetime-local" }) {
  const [typed, setTyped] = useState<string | null>(null);
  const set = () => {
    if (typed !== null && typed !== value) onSet(typed);
    setTyped(null);
  };
  return (
    <label class="field">
      <span>{label}</span>
      <input {...({ type: type ?? "text" } as { type: "text" })} value={typed ?? value} onInput={(e) => setTyped(e.currentTarget.value)} onBlur={set} onKeyDown={(e) => e.key === "Enter" && set()} />
    </label>
  );
}

export function Pick({ label, value, of, onSet }: { label: string; value: string; of: [value: string, name: string][]; onSet: (x: string) => void }) {
  return (
    <label class="field">
      <span>{label}</span>
      <select value={value} onChange={(e) => onSet(e.currentTarget.value)}>
        {of.map(([v, name]) => <option key={v} value={v}>{name}</option>)}
      </select>
    </label>
  );
}
