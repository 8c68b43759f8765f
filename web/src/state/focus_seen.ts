// SPDX-License-Identifier: Apache-2.0
// An answer that comes late pushes what stands below it down. What has the focus of the keyboard
// and was seen stays seen; whoever scrolled away from it is left where he is.

function is_seen(at: Element): boolean {
  const box = at.getBoundingClientRect();
  return box.bottom > 0 && box.top < innerHeight;
}

export function start_focus_seen(): void {
  let seen: Element | undefined;
  const note = (): void => {
    const at = document.activeElement;
    seen = at && at.matches(":focus-visible") && is_seen(at) ? at : undefined;
  };
  document.addEventListener("focusin", () => requestAnimationFrame(note));
  document.addEventListener("scroll", note, { passive: true });
  new ResizeObserver(() => {
    if (seen && seen === document.activeElement && !is_seen(seen)) seen.scrollIntoView({ block: "nearest" });
  }).observe(document.body);
}
