// SPDX-License-Identifier: Apache-2.0
// Paper by day, ink in the dark, or as the device says: kept on the device.
export type Light = "day" | "dark" | "device";

const kStored = "tautmark.light";

export function light_now(): Light {
  const stored = localStorage.getItem(kStored);
  return stored === "day" || stored === "dark" ? stored : "device";
}

export function set_light(light: Light): void {
  localStorage.setItem(kStored, light);
  apply_light();
}

export function apply_light(): void {
  const light = light_now();
  if (light === "device") delete document.documentElement.dataset.light;
  else document.documentElement.dataset.light = light;
}
