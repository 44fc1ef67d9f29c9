// The setup that is looked at as geometry: what every drawing starts from.

import { computed } from "@preact/signals";
import { answer, catalogue, session, setup } from "../state/store";
import { minutesOf } from "../state/words";
import { bearing, eye, place, usualHeight } from "../draw/geometry";

export const stature = computed(() => {
  const who = setup.value?.subject?.person;
  return session.value?.people?.find((p) => p.id === who)?.height_m ?? usualHeight;
});

const modifiers = computed(() => {
  const map = new Map((catalogue.value?.modifiers ?? []).map((m) => [m.id, m]));
  for (const m of session.value?.kit.modifiers ?? []) {
    const c = map.get(m.class);
    if (c) map.set(m.id, c);
  }
  return map;
});

export const lights = computed(() => (setup.value ? place(setup.value, answer.value, modifiers.value) : []));
export const looking = computed(() => (setup.value && session.value ? eye(setup.value, session.value.kit.camera.sensor, stature.value) : null));
export const faces = computed(() => bearing(setup.value?.subject?.faces_deg ?? (setup.value?.camera.bearing_deg ?? 0) + 180));
export const minutes = computed(() => minutesOf(setup.value?.at ?? session.value?.start ?? "T12:00"));
