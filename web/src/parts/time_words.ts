// SPDX-License-Identifier: Apache-2.0
// Days and times in one way everywhere, in every language: 2026-03-02 10:15.
const two = (n: number) => String(n).padStart(2, "0");

// "2026-03-02T10:15" was written on the shop's clock and is shown as it was written; what the
// program stored ends in Z and is shown on this device's clock.
export function time_words(text: string | Date | undefined): string {
  if (!text) return "";
  const time = new Date(text);
  if (Number.isNaN(time.getTime())) return String(text);
  if (typeof text === "string" && !text.includes("T")) return text;
  const day = `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())}`;
  return `${day} ${clock_words(time)}`;
}

// "09:55"
export function clock_words(time: Date): string {
  return `${two(time.getHours())}:${two(time.getMinutes())}`;
}
