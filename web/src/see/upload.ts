// SPDX-License-Identifier: Apache-2.0
// A file on its way beside a case, with how far it is: fetch tells nothing of that.
import { case_path, in_store, sentence } from "../ask";
import { t } from "../texts";

// Resolves with an empty text, or with what went wrong.
export function upload(of_case: string, name: string, file: Blob, progress: (part: number) => void): Promise<string> {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    request.open("POST", in_store(`${case_path(of_case, "files")}?${new URLSearchParams({ name })}`));
    request.setRequestHeader("Content-Type", "application/octet-stream");
    request.upload.onprogress = ({ loaded, total }) => progress(total ? loaded / total : 0);
    request.onerror = () => resolve(t("no_answer"));
    request.onload = () => resolve(request.status < 300 ? "" : refusal(request.responseText));
    request.send(file);
  });
}

function refusal(text: string): string {
  try {
    const { detail, title } = JSON.parse(text) as { detail?: string; title?: string };
    return sentence(detail ?? title ?? text);
  } catch {
    return sentence(text);
  }
}

// A name that may stand beside a case: "Idle warm (2).csv" -> "recordings/idle-warm-2.csv".
export function file_name_of(folder: string, name: string): string {
  const [, stem = "", end = ""] = /^(.*?)(\.[A-Za-z0-9]+)?$/.exec(name.trim().toLowerCase()) ?? [];
  const words = stem.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
  return `${folder}/${words || "file"}${end}`;
}
