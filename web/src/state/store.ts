// What the page knows: one session, which setup of it is looked at, what the
// engine said about it, and how far it is saved. Changes are records with a
// label; the workspace keeps each as one step of undo.

import { batch, computed, effect, signal } from "@preact/signals";
import { engine, Failure } from "../engine/ask";
import { Away, me, Newer, workspace, type Document } from "../engine/workspace";
import type { KitAnswer, PlanAnswer, Session, SetupAnswer } from "../engine/types";
import { merge } from "./merge";
import * as shelf from "./shelf";
import type { Step } from "./shelf";

export const quick = engine(); // answers a hand that drags
export const slow = engine(); // whole days and what a sheet asks
export const painter = engine(); // pictures

/** Why this browser computes nothing itself; "" while it does. */
export const serverOnly = signal("");
quick.onBroken = (why) => (serverOnly.value = why);

export const doc = signal<Document | null>(null);
export const session = signal<Session | null>(null);
export const chosen = signal(0);
export const answers = signal<PlanAnswer | null>(null);
export const trouble = signal<Failure | null>(null); // why there is no answer
export const catalogue = signal<KitAnswer | null>(null);
export const said = signal(""); // for ears: what just happened
export const refused = signal<Failure | null>(null); // why the last change was not taken

export const setup = computed(() => session.value?.setups[chosen.value] ?? null);
export const answer = computed<SetupAnswer | null>(() => {
  const id = setup.value?.id;
  return answers.value?.setups.find((s) => s.id === id) ?? null;
});

const unsaved = signal<Step[]>([]); // oldest first
const redone = signal<Step[]>([]);
const away = signal(false);

export const saving = computed(() => (unsaved.value.length === 0 ? "saved" : away.value ? "kept here" : "saving"));
export const canUndo = computed(() => unsaved.value.at(-1)?.label ?? doc.value?.undo ?? null);
export const canRedo = computed(() => redone.value.at(-1)?.label ?? (unsaved.value.length ? null : (doc.value?.redo ?? null)));

/** readable is a failure without the name its field has in a file. */
export const readable = (f: Failure) => f.text.replace(/^[a-z]+(_[a-z0-9]+)+ is (?=[−\d])/, "");

/** faultAt is what the engine or the workspace has against what is written at a
 * path of the session, "" where nothing. */
export function faultAt(path: string | undefined): string {
  const f = refused.value ?? trouble.value;
  return path && f?.field === path ? readable(f) : "";
}

const clone = <T>(x: T): T => JSON.parse(JSON.stringify(x));

/** change edits the session in one step with a name for undo. */
export function change(label: string, edit: (s: Session) => void) {
  if (!session.value) return;
  begin();
  move(edit);
  done(label);
}

// A drag is one change: begin, many moves, done.
let before: Session | null = null;

export function begin() {
  before ??= session.value;
}

export function move(edit: (s: Session) => void) {
  if (!session.value) return;
  const next = clone(session.value);
  edit(next);
  session.value = next;
}

export function done(label: string) {
  const was = before;
  before = null;
  if (!was || !session.value || JSON.stringify(was) === JSON.stringify(session.value)) return void catchUp();
  void solve(); // all setups
  const step = { label, before: was, after: session.value };
  batch(() => {
    unsaved.value = [...unsaved.value, step];
    redone.value = [];
    if (refused.value) said.value = "";
    refused.value = null;
  });
  void flush();
}

let busy = false;

/** flush saves what is not saved yet, oldest first. */
export async function flush() {
  if (busy || !doc.value) return;
  busy = true;
  const id = doc.value.id;
  try {
    while (unsaved.value.length) {
      const step = unsaved.value[0]!;
      const d: Document = doc.value;
      try {
        const saved = await workspace.save(id, step.after, d.revision, step.label);
        if (doc.value.id !== id) break; // another session is looked at by now
        batch(() => {
          away.value = false;
          doc.value = saved;
          unsaved.value = unsaved.value.slice(1);
          if (!unsaved.value.length && !before) session.value = saved.session;
        });
      } catch (e) {
        if (doc.value.id !== id) break;
        if (!(e instanceof Newer)) throw e;
        rebase(e.current);
      }
    }
  } catch (e) {
    away.value = e instanceof Away;
    if (!(e instanceof Away) && doc.value.id === id) {
      refused.value = e as Failure;
      said.value = `not saved: ${readable(e as Failure)}`;
      unsaved.value = []; // the server refuses it; what it has stays
      if (doc.value) session.value = doc.value.session;
    }
  } finally {
    busy = false;
    keep();
    if (doc.value.id !== id) void flush();
    else if (!unsaved.value.length) void catchUp();
  }
}

// rebase puts my unsaved steps onto a newer document.
function rebase(newer: Document) {
  const base = doc.value!.session;
  let below = newer.session;
  const steps = unsaved.value.map((s) => {
    const after = merge(base, s.after, newer.session);
    const moved = { label: s.label, before: below, after };
    below = after;
    return moved;
  });
  batch(() => {
    doc.value = newer;
    unsaved.value = steps;
    session.value = below;
    said.value = "changed in another window too; both changes are kept";
  });
}

export async function undo() {
  const step = unsaved.value.at(-1);
  if (step && !busy) {
    batch(() => {
      unsaved.value = unsaved.value.slice(0, -1);
      redone.value = [...redone.value, step];
      session.value = step.before;
    });
    keep();
    return;
  }
  await travel(workspace.undo);
}

export async function redo() {
  const step = redone.value.at(-1);
  if (step) {
    batch(() => {
      redone.value = redone.value.slice(0, -1);
      unsaved.value = [...unsaved.value, step];
      session.value = step.after;
    });
    return void flush();
  }
  await travel(workspace.redo);
}

async function travel(to: typeof workspace.undo) {
  const d = doc.value;
  if (!d || unsaved.value.length) return;
  try {
    show(await to(d.id, d.revision));
  } catch (e) {
    if (e instanceof Newer) show(e.current);
    else said.value = (e as Failure).text;
  }
}

/** show takes a document from the workspace as what is on the screen. */
export function show(d: Document) {
  batch(() => {
    doc.value = d;
    session.value = d.session;
    if (chosen.value >= d.session.setups.length) chosen.value = 0;
  });
  keep();
}

export function keep() {
  if (!doc.value || !session.value) return;
  const k = { doc: doc.value, session: session.value, chosen: chosen.value, answers: answers.value };
  if (!shelf.put(k, doc.value, unsaved.value)) said.value = "this browser keeps nothing; stay near the server";
}

// onto puts what another tab did after what was done here.
function onto(mine: Step[], theirs: Step[], from?: Session): Step[] {
  const out = [...mine];
  for (const s of theirs) {
    const below = out.at(-1)?.after ?? from ?? s.before;
    out.push({ label: s.label, before: below, after: merge(s.before, s.after, below) });
  }
  return out;
}

// takeUp saves what tabs left behind that were closed meanwhile.
async function takeUp() {
  const d = doc.value;
  if (!d || before || busy) return;
  const left = (await shelf.waiting(d.id, true)).flatMap((w) => w.steps);
  if (left.length && session.value && doc.value?.id === d.id) {
    unsaved.value = onto(unsaved.value, left, session.value);
    session.value = unsaved.value.at(-1)!.after;
  }
  if (unsaved.value.length) void flush();
}

/** open shows a session: first as it was kept here, then as the server has it.
 * None is the one that was looked at last. */
export async function open(id: string): Promise<boolean> {
  id ||= shelf.last();
  if (!id) return false;
  keep();
  const k = shelf.session(id);
  const left = await shelf.waiting(id);
  const base = left[0]?.base ?? k?.doc ?? null;
  const steps = onto(left[0]?.steps ?? [], left.slice(1).flatMap((w) => w.steps));
  if (base) batch(() => {
    doc.value = base;
    session.value = steps.at(-1)?.after ?? k?.session ?? base.session;
    unsaved.value = steps;
    redone.value = [];
    chosen.value = Math.min(k?.chosen ?? 0, (session.value?.setups.length ?? 1) - 1);
    answers.value = k?.answers ?? null;
  });
  try {
    const d = await workspace.open(id);
    if (steps.length) void flush();
    else {
      redone.value = [];
      unsaved.value = [];
      show(d);
    }
    return true;
  } catch (e) {
    if (e instanceof Away) {
      away.value = true;
      keep();
      return base !== null;
    }
    shelf.forget(id);
    if (base) batch(() => {
      doc.value = null;
      session.value = null;
      unsaved.value = [];
    });
    return false;
  }
}

// The newest revision that is known to be there. What is heard of while a hand
// drags or a change is on its way is looked at afterwards.
let heard = 0;

async function catchUp() {
  const d = doc.value;
  if (!d || before || busy || heard <= d.revision) return;
  if (unsaved.value.length) return void flush();
  const now = await workspace.open(d.id).catch(() => null);
  if (!now || doc.value?.id !== now.id) return;
  if (heard === Infinity || heard < now.revision) heard = now.revision;
  if (now.revision > doc.value.revision && !unsaved.value.length && !before && now.session) show(now);
}

/** listen follows what other windows do. */
export function listen() {
  const events = new EventSource("/api/events");
  events.addEventListener("hello", () => {
    away.value = false;
    heard = Infinity; // something may have been missed
    void catchUp();
  });
  events.addEventListener("session", (e) => {
    const m = JSON.parse((e as MessageEvent).data);
    if (m.by === me || m.id !== doc.value?.id) return;
    heard = Math.max(heard, m.revision);
    void catchUp();
  });
  addEventListener("online", () => void flush());
  setInterval(() => void takeUp(), 5000);
}

// The engine answers each change. While one answer is on its way only the last
// change waits.
let asking = false;
let again = false;
export const solving = signal(false);

async function solve() {
  if (asking) {
    again = true;
    return;
  }
  asking = true;
  solving.value = true;
  const s = session.peek(); // it runs within an effect, which shall follow the session alone
  try {
    if (s) {
      // a hand that drags changes one setup: the others are answered when it lets go
      const one = before && answers.peek() ? s.setups[chosen.peek()] : undefined;
      const a = await quick.ask<PlanAnswer>("plan", one ? { ...s, setups: [one] } : s);
      if (one && !before) again = true;
      const others = one ? (answers.peek()?.setups ?? []) : [];
      batch(() => {
        answers.value = one && others.length ? { ...a, setups: others.map((x) => (x.id === one.id ? (a.setups[0] ?? x) : x)) } : a;
        trouble.value = null;
      });
    }
  } catch (e) {
    trouble.value = e as Failure;
  } finally {
    asking = false;
    if (again) {
      again = false;
      void solve();
    } else {
      solving.value = false;
      if (!before) keep();
    }
  }
}

effect(() => {
  if (session.value) void solve();
});

quick.ask<KitAnswer>("kit", {}).then(
  (k) => (catalogue.value = k),
  () => undefined,
);
