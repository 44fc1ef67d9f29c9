// What the browser keeps for a page, so that a phone that lost the server, or was
// locked, goes on where it was. Sessions are shared by all tabs, the last few of
// them; steps that are not saved yet belong to the tab that made them, and when
// it is gone to the next that opens the session.

import type { Document } from "../engine/workspace";
import type { PlanAnswer, Session } from "../engine/types";

export interface Kept {
  doc: Document;
  session: Session;
  chosen: number;
  answers: PlanAnswer | null;
}

export interface Step {
  label: string;
  before: Session;
  after: Session;
}

interface Waiting {
  base: Document; // what the first step was made on
  steps: Step[];
}

const most = 5; // sessions
const list = "hardnoon.kept";
const place = (id: string) => `hardnoon.session.${id}`;
const steps = "hardnoon.steps.";

const get = <T>(key: string): T | null => {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "null");
  } catch {
    return null;
  }
};

// A tab is known by a name that outlives a reload, and by a lock it holds while
// it lives: a copied tab gets a name of its own.
let tab = "";

const hold = (name: string) =>
  new Promise<boolean>((done) => {
    void navigator.locks.request(`hardnoon.${name}`, { ifAvailable: true }, (lock) => {
      done(lock !== null);
      // for life; a page that is put away, and may come back, is not alive
      return lock && new Promise<void>((free) => addEventListener("pagehide", () => free(), { once: true }));
    });
  });

async function claim() {
  let name = sessionStorage.getItem("hardnoon.tab") ?? crypto.randomUUID();
  if (navigator.locks && !(await hold(name))) await hold((name = crypto.randomUUID()));
  sessionStorage.setItem("hardnoon.tab", name);
  tab = name;
}

const named = claim();
addEventListener("pageshow", (e) => e.persisted && void claim());

/** put keeps a session and what is not saved of it; false where nothing is kept. */
export function put(k: Kept, base: Document, unsaved: Step[]): boolean {
  const id = k.doc.id;
  try {
    const ids = [id, ...(get<string[]>(list) ?? []).filter((x) => x !== id)];
    for (const old of ids.splice(most)) localStorage.removeItem(place(old));
    localStorage.setItem(list, JSON.stringify(ids));
    localStorage.setItem(place(id), JSON.stringify(k));
    const mine = `${steps}${id}.${tab}`;
    if (unsaved.length) localStorage.setItem(mine, JSON.stringify({ base, steps: unsaved.slice(-40) } satisfies Waiting));
    else localStorage.removeItem(mine);
    return true;
  } catch {
    return false;
  }
}

/** last is the session that was looked at last. */
export const last = () => get<string[]>(list)?.[0] ?? "";

export const session = (id: string) => get<Kept>(place(id));

export const forget = (id: string) => localStorage.removeItem(place(id));

/** waiting hands over the unsaved steps to a session: those of tabs that are
 * gone, and of this tab before it was loaded again, which come first. */
export async function waiting(id: string, loaded = false): Promise<Waiting[]> {
  await named;
  const keys = Object.keys(localStorage).filter((k) => k.startsWith(`${steps}${id}.`));
  if (!keys.length) return [];
  const held = new Set((await navigator.locks?.query())?.held?.map((l) => l.name));
  const whose = (k: string) => k.slice(steps.length + id.length + 1);
  const ours = keys.filter((k) => (whose(k) === tab ? !loaded : navigator.locks && !held.has(`hardnoon.${whose(k)}`)));
  ours.sort((a) => (whose(a) === tab ? -1 : 1));
  const out = ours.map((k) => get<Waiting>(k)).filter((w): w is Waiting => !!w?.steps.length);
  for (const k of ours) localStorage.removeItem(k);
  return out;
}
