// The workspace on the server: stored sessions with revisions. Every change
// carries the revision it was made on, so that no change is lost.

import { Failure, failure } from "./ask";
import type { Session } from "./types";

export interface Document {
  id: string;
  revision: number;
  saved_at: string;
  label: string;
  undo: string | null;
  redo: string | null;
  removed: boolean;
  session: Session;
}

export interface Listed {
  id: string;
  title: string;
  place: string;
  start: string;
  setups: number;
  people: number;
  revision: number;
  saved_at: string;
}

export interface Found {
  name: string;
  lat_deg: number;
  lon_deg: number;
  elevation_m: number | null;
  zone: string;
}

export interface Tap {
  id: string;
  at: string;
  kind: string;
  setup?: string;
  shot?: string;
  light?: string;
  stops?: number;
  count?: number;
  undoes?: string;
}

/** The server has a newer document than the change was made on. */
export class Newer extends Failure {
  constructor(readonly current: Document) {
    super("newer", "the session was changed elsewhere");
  }
}

/** The server could not be reached: nothing is known about the change. */
export class Away extends Failure {
  constructor() {
    super("away", "the server does not answer");
  }
}

export const me = crypto.randomUUID().slice(0, 8);

async function call<A>(method: string, path: string, body?: unknown, revision?: number): Promise<A> {
  const headers: Record<string, string> = { "X-Client": me };
  if (body !== undefined) headers["Content-Type"] = "application/json";
  if (revision !== undefined) headers["If-Match"] = `"${revision}"`;
  let r: Response;
  try {
    r = await fetch(path, { method, headers, body: body === undefined ? undefined : JSON.stringify(body), signal: AbortSignal.timeout(8000) });
  } catch {
    throw new Away();
  }
  const reply = await r.json().catch(() => ({ error: { code: "broken", text: `the server said ${r.status} and no more` } }));
  if (!reply.error) return reply;
  if (reply.error.code === "newer" && reply.current) throw new Newer(reply.current);
  throw failure(reply.error);
}

const at = (id: string) => `/api/sessions/${encodeURIComponent(id)}`;

export const workspace = {
  list: () => call<{ sessions: Listed[] }>("GET", "/api/sessions").then((r) => r.sessions),
  open: (id: string) => call<Document>("GET", at(id)),
  add: (s: Session) => call<Document>("POST", "/api/sessions", s),
  save: (id: string, s: Session, revision: number, label: string) => call<Document>("PUT", `${at(id)}?label=${encodeURIComponent(label)}`, s, revision),
  undo: (id: string, revision: number) => call<Document>("POST", `${at(id)}/undo`, {}, revision),
  redo: (id: string, revision: number) => call<Document>("POST", `${at(id)}/redo`, {}, revision),
  remove: (id: string, revision: number) => call<Document>("DELETE", at(id), undefined, revision),
  places: (q: string) => call<{ places: Found[] }>("GET", `/api/places?q=${encodeURIComponent(q)}`).then((r) => r.places),
  tap: (id: string, taps: Tap[]) => call<{ taps: number }>("POST", `${at(id)}/taps`, { taps }),
  taps: (id: string) => call<{ taps: Tap[] }>("GET", `${at(id)}/taps`).then((r) => r.taps),
};
