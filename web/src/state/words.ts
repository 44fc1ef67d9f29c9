// How numbers are written for a person, in the units this person reads.

import { effect, signal } from "@preact/signals";

export interface Habits {
  imperial: boolean;
  twelve: boolean; // hours
  dark: boolean; // field: white on black
  voice: boolean;
}

const shelf = "hardnoon.habits";
const usual: Habits = { imperial: false, twelve: false, dark: false, voice: false };

export const habits = signal<Habits>(load());

function load(): Habits {
  try {
    return { ...usual, ...JSON.parse(localStorage.getItem(shelf) ?? "{}") };
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

/** stops writes "+0.6", "−1.2", "0". */
export function stops(x: number): string {
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
export const temperature = (c: number) => (habits.value.imperial ? `${Math.round(c * 1.8 + 32)} °F` : `${Math.round(c)} °C`);
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
  const size = Math.abs(Math.round(margin * 10) / 10);
  if (size === 0) return { word: "barely", rest: "nothing to spare" };
  if (margin < 0) return { word: "no", rest: `${size.toFixed(1)} stops short` };
  return { word: margin < uncertainty ? "barely" : "yes", rest: `${size.toFixed(1)} stops to spare` };
}
