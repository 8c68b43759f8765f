// SPDX-License-Identifier: Apache-2.0
// A packed case made of a folder that was dropped here (docs/formats/pack.md): a zip of stored
// entries after APPNOTE 6.3.10, manifest first, names sorted, times fixed.

export interface Part {
  name: string; // in the folder, with "/"
  bytes: Uint8Array<ArrayBuffer>;
}

const kUtf8 = 0x0800; // general purpose flag 11: names are UTF-8
const kFirstDay = 0x0021; // 1980-01-01, the earliest that a zip can say

// CRC-32 of ISO 3309, as APPNOTE 4.4.7 asks.
const kCrc = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let bit = 0; bit < 8; ++bit) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});

export function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (const byte of bytes) c = (kCrc[(c ^ byte) & 0xff] ?? 0) ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

interface Placed {
  name: Uint8Array<ArrayBuffer>;
  crc: number;
  size: number;
  at: number; // offset of its local header
}

export function zipped(parts: readonly Part[]): Blob {
  const pieces: Uint8Array<ArrayBuffer>[] = [];
  let at = 0;
  const put = (piece: Uint8Array<ArrayBuffer>) => {
    pieces.push(piece);
    at += piece.length;
  };
  const directory = parts.map((part): Placed => {
    const name = new TextEncoder().encode(part.name);
    const placed = { name, crc: crc32(part.bytes), size: part.bytes.length, at };
    put(header(placed, "local"));
    put(name);
    put(part.bytes);
    return placed;
  });
  const begin = at;
  for (const placed of directory) {
    put(header(placed, "central"));
    put(placed.name);
  }
  put(end_record(directory.length, at - begin, begin));
  return new Blob(pieces, { type: "application/zip" });
}

// APPNOTE 4.3.7 and 4.3.12; little-endian, [bytes, value] in order.
function header({ name, crc, size, at }: Placed, which: "local" | "central"): Uint8Array<ArrayBuffer> {
  const same: Field[] = [
    [2, 20], // version needed
    [2, kUtf8],
    [2, 0], // stored
    [2, 0],
    [2, kFirstDay],
    [4, crc],
    [4, size],
    [4, size],
    [2, name.length],
    [2, 0], // no extra field
  ];
  if (which === "local") return written([[4, 0x04034b50], ...same]);
  return written([[4, 0x02014b50], [2, 20], ...same, [2, 0], [2, 0], [2, 0], [4, 0], [4, at]]);
}

// APPNOTE 4.3.16.
function end_record(count: number, size: number, begin: number): Uint8Array<ArrayBuffer> {
  return written([[4, 0x06054b50], [2, 0], [2, 0], [2, count], [2, count], [4, size], [4, begin], [2, 0]]);
}

type Field = [bytes: 2 | 4, value: number];

function written(fields: Field[]): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(fields.reduce((sum, [n]) => sum + n, 0));
  const view = new DataView(bytes.buffer);
  let at = 0;
  for (const [n, value] of fields) {
    if (n === 2) view.setUint16(at, value, true);
    else view.setUint32(at, value, true);
    at += n;
  }
  return bytes;
}

async function sha256(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...sum].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

// The name that the case gives itself; a folder that says none is called as the folder is.
export function case_name(text: string, otherwise: string): string {
  const said = /^\s*"?name"?\s*:\s*(?:"([^"]*)"|'([^']*)'|([^,#\n]*))/m.exec(text);
  return (said?.[1] ?? said?.[2] ?? said?.[3])?.trim() || otherwise;
}

export async function packed(folder: string, parts: readonly Part[]): Promise<Blob | undefined> {
  const seen = parts.filter((part) => !part.name.split("/").some((word) => word.startsWith(".")));
  const main = seen.find((part) => /^case\.(yaml|json)$/.test(part.name));
  if (!main) return undefined;
  const files = [...seen].sort((a, b) => (a.name < b.name ? -1 : 1));
  const listed = await Promise.all(
    files.map(async ({ name, bytes }) => ({ name, bytes: bytes.length, sha256: await sha256(bytes) })),
  );
  const manifest = {
    schema: "pack/1",
    case: case_name(new TextDecoder().decode(main.bytes), folder),
    case_file: main.name,
    case_sha256: listed.find((one) => one.name === main.name)?.sha256,
    files: listed,
  };
  const bytes = new TextEncoder().encode(JSON.stringify(manifest, null, 2));
  return zipped([{ name: "manifest.json", bytes }, ...files]);
}
