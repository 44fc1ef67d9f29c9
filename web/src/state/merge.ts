// Two people, or two windows, changed one session: what each changed is kept.
// Where both changed the same value, mine wins, for I was told last.

type Json = unknown;
type Bag = Record<string, Json>;

const isBag = (x: Json): x is Bag => typeof x === "object" && x !== null && !Array.isArray(x);
const same = (a: Json, b: Json) => JSON.stringify(a) === JSON.stringify(b);
const named = (x: Json): x is (Bag & { id: string })[] => Array.isArray(x) && x.every((e) => isBag(e) && typeof e.id === "string");

/** merge brings what changed from base to mine into theirs. */
export function merge<T>(base: T, mine: T, theirs: T): T {
  return join(base, mine, theirs) as T;
}

function join(base: Json, mine: Json, theirs: Json): Json {
  if (same(mine, base)) return theirs;
  if (same(theirs, base) || same(mine, theirs)) return mine;
  if (isBag(mine) && isBag(theirs)) {
    const from = isBag(base) ? base : {};
    const out: Bag = {};
    for (const k of new Set([...Object.keys(theirs), ...Object.keys(mine)])) {
      const v = join(from[k], mine[k], theirs[k]);
      if (v !== undefined) out[k] = v;
    }
    return out;
  }
  if (named(mine) && named(theirs)) {
    const from = named(base) ? base : [];
    const find = (list: { id: string }[], id: string) => list.find((e) => e.id === id);
    const ids = [...mine.map((e) => e.id), ...theirs.filter((e) => !find(mine, e.id) && !find(from, e.id)).map((e) => e.id)];
    return ids.map((id) => join(find(from, id), find(mine, id), find(theirs, id))).filter((e) => e !== undefined);
  }
  return mine;
}
