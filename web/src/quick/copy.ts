// SPDX-License-Identifier: Apache-2.0
// Without encryption a browser has no clipboard for pages: then by a selected field, as of old.
export async function copy_text(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    const field = document.createElement("textarea");
    field.value = text;
    field.className = "heard";
    document.body.append(field);
    field.select();
    const is_done = document.execCommand("copy");
    field.remove();
    return is_done;
  }
}
