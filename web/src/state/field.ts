// What a thumb said in the field. Taps are only ever added: undo is a tap too.
// They are kept in the browser first and sent when the server is there, so
// nothing depends on a signal.

import { computed, effect, signal } from "@preact/signals";
import { workspace, type Tap } from "../engine/workspace";
import type { AdjustAnswer, LightJSON, State } from "../engine/types";
import type { Failure } from "../engine/ask";
import { answer, answers, doc, quick, setup } from "./store";

const shelf = (id: string) => `hardnoon.taps.${id}`;

interface Kept {
  taps: Tap[];
  sent: string[];
  card: number;
}

const none: Kept = { taps: [], sent: [], card: 0 };
const kept = signal<Kept>(none);
let loaded = "";

export const card = computed(() => kept.value.card);
export const unsent = computed(() => kept.value.taps.length - kept.value.sent.length);

const standing = computed(() => {
  const gone = new Set(kept.value.taps.map((t) => t.undoes).filter(Boolean));
  return kept.value.taps.filter((t) => !gone.has(t.id) && !t.undoes);
});

export const lastTap = computed(() => standing.value.at(-1) ?? null);

const here = computed(() => standing.value.filter((t) => t.setup === setup.value?.id));

/** sky is how far the ambient lies from the plan, in stops, as the thumb said. */
export const sky = computed(() => here.value.filter((t) => t.kind === "cloud" || t.kind === "sun").at(-1)?.stops ?? 0);

const sum = (list: Tap[]) => list.reduce((s, t) => s + (t.stops ?? 0), 0);

/** offset is how far test frames showed the ambient to lie from the plan. */
export const offset = computed(() => sum(here.value.filter((t) => t.kind === "adjust" && !t.light)));
/** said is how much more of a light test frames asked for, in stops. */
export const said = (role: string) => sum(here.value.filter((t) => t.kind === "adjust" && t.light === role));
export const ticked = (shot: string) => standing.value.some((t) => t.kind === "tick" && t.shot === shot);
export const frames = (shot: string) => standing.value.filter((t) => t.kind === "frame" && t.shot === shot).length;
export const misfires = computed(() => standing.value.filter((t) => t.kind === "misfire").length);
export const lastFrame = computed(() => standing.value.filter((t) => t.kind === "frame").at(-1) ?? null);
export const lastThunder = computed(() => standing.value.filter((t) => t.kind === "thunder").at(-1) ?? null);

/** load takes up the taps of a session where they were left. */
export function load(id: string) {
  if (loaded === id) return;
  loaded = id;
  try {
    kept.value = { ...none, ...JSON.parse(localStorage.getItem(shelf(id)) ?? "{}") };
  } catch {
    kept.value = none;
  }
  void send();
}

function put(k: Kept) {
  kept.value = k;
  try {
    localStorage.setItem(shelf(loaded), JSON.stringify(k));
  } catch {
    // the browser keeps nothing: taps live as long as the page
  }
}

export const show = (n: number) => put({ ...kept.value, card: n });

export function tap(t: Omit<Tap, "id" | "at">) {
  const full: Tap = { id: crypto.randomUUID?.() ?? `${Date.now()}-${Math.random().toString(36).slice(2)}`, at: new Date().toISOString(), ...t };
  put({ ...kept.value, taps: [...kept.value.taps, full] });
  if ("vibrate" in navigator) navigator.vibrate(20);
  void send();
}

export function untap() {
  const t = lastTap.value;
  if (t) tap({ kind: "undo", undoes: t.id, ...(t.setup ? { setup: t.setup } : {}) });
}

let sending = false;

export async function send() {
  const id = doc.value?.id;
  if (sending || !id || id !== loaded) return;
  sending = true;
  try {
    for (;;) {
      const done = new Set(kept.value.sent);
      const rest = kept.value.taps.filter((t) => !done.has(t.id)).slice(0, 500);
      if (!rest.length) break;
      await workspace.tap(id, rest);
      put({ ...kept.value, sent: [...kept.value.sent, ...rest.map((t) => t.id)] });
    }
  } catch {
    // kept; the next tap or the next signal sends them
  } finally {
    sending = false;
  }
}

addEventListener("online", () => void send());
setInterval(() => unsent.value > 0 && void send(), 10_000);

// What to turn now: the plan, or the plan after a change of light and after what
// test frames showed.
export const adjusted = signal<AdjustAnswer | null>(null);
export const adjustFailed = signal("");
let turn = 0;

effect(() => {
  const plan = answers.value;
  const id = setup.value?.id;
  const lights = answer.value?.answer?.lights;
  const change = Math.round((sky.value + offset.value) * 100) / 100;
  const seen = lights?.map((l) => ({ role: l.role, stops: Math.round(-said(l.role) * 100) / 100 })).filter((x) => x.stops !== 0) ?? [];
  const mine = ++turn;
  if (!plan || !id || !lights || (change === 0 && !seen.length)) {
    adjusted.value = null;
    adjustFailed.value = "";
    return;
  }
  quick.ask<AdjustAnswer>("adjust", { plan, setup: id, ambient_change_stops: change, seen }).then(
    (a) => mine === turn && ((adjusted.value = a), (adjustFailed.value = "")),
    (e: Failure) => mine === turn && ((adjusted.value = null), (adjustFailed.value = e.hint ? `${e.text}: ${e.hint}` : e.text)),
  );
});

export interface Dials {
  shutter: string;
  aperture: string;
  iso: number;
  nd: number;
  background: number;
}

const after = (a: AdjustAnswer): State => (a.ambient_change_stops > 0 ? a.sun_state : a.cloud_state);

export const dials = computed<Dials | null>(() => {
  const p = answer.value?.answer;
  if (!p) return null;
  const s = adjusted.value ? after(adjusted.value) : p;
  return { shutter: s.shutter, aperture: s.aperture, iso: s.iso, nd: s.nd_stops, background: s.background_stops };
});

export interface Set {
  light: LightJSON;
  power: string;
  distance: number;
}

/** sets are the lights as they are to be set now. */
export const sets = computed<Set[]>(() => {
  const p = answer.value?.answer;
  const now = adjusted.value ? after(adjusted.value) : null;
  return p?.lights.map((light, i) => ({ light, power: now?.powers[i] ?? light.power, distance: now?.distances_m[i] ?? light.distance_m })) ?? [];
});
