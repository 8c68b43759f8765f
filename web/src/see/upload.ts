// SPDX-License-Identifier: Apache-2.0
// A file on its way beside a case, with how far it is: fetch tells nothing of that.
import { case_path, in_store, sentence } from "../ask";
import { t } from "../texts";

interface Uploaded {
  name: string; // under which it lies there
  problem: string; // or what went wrong
}

const kMostNames = 20;

// `as` a recording or a trace: the program keeps it only if it can be read as one.
// Under the name of the file; where another file has it already (cameras call every photo the same),
// under the next one: "photos/image-2.jpg".
export async function upload(of_case: string, folder: string, file: File, progress: (part: number) => void, as: "" | "recording" | "trace" = ""): Promise<Uploaded> {
  const first = file_name_of(folder, file.name);
  if (file.size === 0) return { name: first, problem: t("see_empty_file") };
  for (let n = 1; ; ++n) {
    const name = n === 1 ? first : first.replace(/(\.[a-z0-9]+)?$/, `-${n}$1`);
    const { status, problem } = await sent(of_case, name, as, file, progress);
    if (status !== 409 || n === kMostNames) return { name, problem };
  }
}

function sent(of_case: string, name: string, as: string, file: Blob, progress: (part: number) => void): Promise<{ status: number; problem: string }> {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    request.open("POST", in_store(`${case_path(of_case, "files")}?${new URLSearchParams({ name, ...(as ? { as } : {}) })}`));
    request.setRequestHeader("Content-Type", "application/octet-stream");
    request.upload.onprogress = ({ loaded, total }) => progress(total ? loaded / total : 0);
    request.onerror = () => resolve({ status: 0, problem: t("no_answer") });
    request.onload = () => {
      const { status, responseText } = request;
      resolve({ status, problem: status < 300 ? "" : refusal(responseText) });
    };
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
  const [, stem = "", end = ""] = /^(.*?)(\.[A-Za-z0-9]+)?$/.exec(name.trim().toLowerCase().replace(/ß/g, "ss")) ?? [];
  const words = stem.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
  return `${folder}/${words || "file"}${end}`;
}
