// How numbers are written for a person, in the units this person reads.

import { effect, signal } from "@preact/signals";

export interface Habits {
  imperial: boolean;
  fahrenheit: boolean;
  part: 0 | 2 | 3; // of a stop: tenths, halves, thirds
  twelve: boolean; // hours
  dark: boolean; // field: white on black
}

const shelf = "hardnoon.habits";
const usual: Habits = { imperial: false, fahrenheit: false, part: 0, twelve: false, dark: false };

export const habits = signal<Habits>(load());

function load(): Habits {
  try {
    const kept = JSON.parse(localStorage.getItem(shelf) ?? "{}");
    return { ...usual, fahrenheit: kept.imperial ?? false, ...kept };
  } catch {
    return usual;
  }
}

effect(() => {
  try {
    localStorage.setItem(shelf, JSON.stringify(habits.value));
  } catch {
    // not kept: said where the session is kept
  }
});

const minus = (text: string) => text.replace("-", "−");

const parts: Record<string, string> = { "1/3": "⅓", "2/3": "⅔", "1/2": "½" };

// inParts writes a size in whole stops and thirds or halves: "1⅓".
function inParts(size: number, part: number): string {
  const n = Math.round(size * part);
  const whole = Math.floor(n / part);
  return `${whole || n === 0 ? whole : ""}${parts[`${n % part}/${part}`] ?? ""}`;
}

/** size writes how many stops, without a sign. */
export const size = (x: number) => (habits.value.part ? inParts(Math.abs(x), habits.value.part) : Math.abs(x).toFixed(1));

/** stops writes "+0.6", "−1.2", "0"; or "+⅔", "−1⅓". */
export function stops(x: number): string {
  const part = habits.value.part;
  if (part) {
    const n = Math.round(x * part);
    return n === 0 ? "0" : (n > 0 ? "+" : "−") + inParts(Math.abs(x), part);
  }
  const r = Math.round(x * 10) / 10;
  return r === 0 ? "0" : (r > 0 ? "+" : "") + minus(r.toFixed(1));
}

export const plain = (x: number, digits = 1) => minus(x.toFixed(digits).replace(/^-(0\.?0*)$/, "$1"));

const foot = 0.3048;

export const length = (m: number) => (habits.value.imperial ? `${plain(m / foot)} ft` : `${plain(m)} m`);
export const lengthUnit = () => (habits.value.imperial ? "ft" : "m");
export const toUnit = (m: number) => (habits.value.imperial ? m / foot : m);
export const fromUnit = (x: number) => (habits.value.imperial ? x * foot : x);
export const degrees = (d: number) => `${Math.round(d)}°`;
export const temperature = (c: number) => (habits.value.fahrenheit ? `${Math.round(c * 1.8 + 32)} °F` : `${Math.round(c)} °C`);
export const speed = (mps: number) => (habits.value.imperial ? `${Math.round(mps / 0.44704)} mph` : `${plain(mps, 0)} m/s`);

/** clock writes minutes of the day. */
export function clock(minutes: number): string {
  const m = ((Math.round(minutes) % 1440) + 1440) % 1440;
  const [h, min] = [Math.floor(m / 60), String(m % 60).padStart(2, "0")];
  return habits.value.twelve ? `${h % 12 || 12}:${min} ${h < 12 ? "am" : "pm"}` : `${String(h).padStart(2, "0")}:${min}`;
}

/** minutesOf reads the wall clock in "2027-01-16T13:20" or with a zone behind. */
export function minutesOf(at: string): number {
  const [, h, m, s] = /T(\d\d):(\d\d)(?::(\d\d))?/.exec(at) ?? [];
  return Number(h ?? 0) * 60 + Number(m ?? 0) + Number(s ?? 0) / 60;
}

export function wallClock(day: string, minutes: number): string {
  const m = Math.min(Math.max(Math.round(minutes), 0), 1439);
  return `${day.slice(0, 10)}T${String(Math.floor(m / 60)).padStart(2, "0")}:${String(m % 60).padStart(2, "0")}`;
}

/** verdict is the first thing to read. */
export function verdict(margin: number, uncertainty: number): { word: string; rest: string } {
  if (stops(margin) === "0") return { word: "barely", rest: "nothing to spare" };
  if (margin < 0) return { word: "no", rest: `${size(margin)} stops short` };
  return { word: margin < uncertainty ? "barely" : "yes", rest: `${size(margin)} stops to spare` };
}

/** local puts what the engine says into the units and the clock of this person:
 * metres, m/s, °C and 24 hours are what it speaks. */
export function local(text: string): string {
  const h = habits.value;
  if (h.imperial) text = text.replace(/(\d+(?:\.\d+)?) m\/s\b/g, (_, x) => speed(Number(x))).replace(/(\d+(?:\.\d+)?) m(?=[\s,.;:)]|$)/g, (_, x) => length(Number(x)));
  if (h.fahrenheit) text = text.replace(/(−?\d+(?:\.\d+)?) °C/g, (_, x) => temperature(Number(x.replace("−", "-"))));
  return h.twelve ? text.replace(/\b([01]?\d|2[0-3]):([0-5]\d)\b(?! min)/g, (_, a, b) => clock(Number(a) * 60 + Number(b))) : text;
}
