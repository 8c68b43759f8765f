// SPDX-License-Identifier: Apache-2.0
// What was dropped on the page or chosen: a packed case, the folder of a case, a recording, the
// definition of a drive.
import { ask, case_path, type Schemas } from "../ask";
import { go } from "../route";
import type { Taken } from "../state/drops";
import { type Key, t } from "../texts";
import { type Part, packed } from "./zip";

// The program finds the format by content; these ends only tell a recording from the rest.
export const kRecordingEnds = [
  ".csv",
  ".txt",
  ".tsv",
  ".vcd",
  ".wav",
  ".w64",
  ".rf64",
  ".mat",
  ".h5",
  ".hdf5",
  ".sr",
];
const kMostInFolder = 256 * 2 ** 20; // bytes: the pack is made in the memory of this device

export type Dropped =
  | { is: "pack"; file: Blob; name: string }
  | { is: "recording"; file: File }
  | { is: "drive"; text: string; name: string }
  | { is: "wrong"; says: string };

const kMostText = 1_000_000; // bytes; the longest definition of a drive has a few ten thousand

export async function sorted_file(file: File): Promise<Dropped> {
  const name = file.name.toLowerCase();
  if (file.size === 0) return wrong(file, "drop_is_empty");
  if (name.endsWith(".zip")) return { is: "pack", file, name: file.name };
  if (kRecordingEnds.some((end) => name.endsWith(end))) return { is: "recording", file };
  if (file.type.startsWith("image/")) return wrong(file, "drop_is_picture");
  if (/\.(pdf|docx?|odt|xlsx?)$/.test(name)) return wrong(file, "drop_is_document");
  const text = /\.(ya?ml|json)$/.test(name) && file.size < kMostText ? await file.text() : "";
  const kind = /^[\s{]*"?tautmark"?\s*:\s*"?(drive|case)\//m.exec(text)?.[1];
  if (kind === "drive") return { is: "drive", text, name: file.name };
  return wrong(file, kind === "case" ? "drop_is_case_file" : "drop_is_other");
}

function wrong(file: File, what: Key): Dropped {
  return { is: "wrong", says: t("drop_unknown", { name: file.name, what: t(what) }) };
}

export async function dropped({ entry, file }: Pick<Taken, "entry" | "file">): Promise<Dropped> {
  if (entry?.isDirectory) return folder_dropped(entry as FileSystemDirectoryEntry);
  return file ? sorted_file(file) : { is: "wrong", says: t("drop_unknown", { name: "?", what: t("drop_is_other") }) };
}

async function folder_dropped(folder: FileSystemDirectoryEntry): Promise<Dropped> {
  const files = await files_of(folder);
  const size = files.reduce((sum, { file }) => sum + file.size, 0);
  const name = folder.name;
  if (size > kMostInFolder)
    return { is: "wrong", says: t("drop_too_large", { name, mb: kMostInFolder / 2 ** 20 }) };
  const parts: Part[] = [];
  for (const { path, file } of files)
    parts.push({ name: path, bytes: new Uint8Array(await file.arrayBuffer()) });
  const pack = await packed(name, parts);
  return pack
    ? { is: "pack", file: pack, name }
    : { is: "wrong", says: t("drop_no_case_file", { name }) };
}

interface Found {
  path: string;
  file: File;
}

async function files_of(folder: FileSystemDirectoryEntry, before = ""): Promise<Found[]> {
  const reader = folder.createReader();
  const found: Found[] = [];
  for (;;) {
    // A browser hands out a folder in pieces, until one is empty.
    const piece = await new Promise<FileSystemEntry[]>((good, bad) => reader.readEntries(good, bad));
    if (piece.length === 0) return found;
    for (const entry of piece) {
      if (entry.name.startsWith(".")) continue;
      const path = before + entry.name;
      if (entry.isDirectory)
        found.push(...(await files_of(entry as FileSystemDirectoryEntry, `${path}/`)));
      else found.push({ path, file: await file_of(entry as FileSystemFileEntry) });
    }
  }
}

function file_of(entry: FileSystemFileEntry): Promise<File> {
  return new Promise((good, bad) => entry.file(good, bad));
}

export interface Sent {
  says: string;
  is_name_taken: boolean; // by another case: it can come in under another name
}

// Goes to the case when it is in. `name`: under which it comes in, absent: its own.
export async function send_pack(pack: Blob, name?: string): Promise<Sent> {
  const body = pack.slice(0, pack.size, "application/zip");
  const asked = name ? `?${new URLSearchParams({ name }).toString()}` : "";
  const answer = await ask<Schemas["import_result"]>("POST", `/api/cases/import${asked}`, body);
  if (!answer.told)
    return {
      says: with_mistakes(answer.detail, answer.mistakes),
      is_name_taken: answer.status === 409,
    };
  const { summary, records_added } = answer.told;
  go(["case", summary.name]);
  const says = t(records_added === 0 ? "drop_was_there" : "drop_taken", {
    name: summary.name,
    n: records_added,
  });
  return { says, is_name_taken: false };
}

// Goes to the recording when it is in. Returns what to say: nothing when all is well.
export async function send_recording(name: string, file: File): Promise<string> {
  const kept = `recordings/${file.name}`;
  const path = `${case_path(name, "files")}?${new URLSearchParams({ name: kept, as: "recording" }).toString()}`;
  const answer = await ask("POST", path, file.slice(0, file.size, "application/octet-stream"));
  if (!answer.ok) return with_mistakes(answer.detail, answer.mistakes);
  go(["recording", name], { file: kept });
  return "";
}

export function with_mistakes(detail: string, mistakes: readonly Schemas["mistake"][]): string {
  const is_said = (message: string) => detail.toLowerCase().includes(message.toLowerCase());
  return [detail, ...mistakes.map((one) => one.message).filter((one) => !is_said(one))].join(" ");
}
