// SPDX-License-Identifier: Apache-2.0
// Whether a JPEG still says where it was taken. A picture drawn anew on a canvas carries nothing of
// the camera; this looks at the bytes before they leave the device.

// Markers of the segments before the image data (ITU-T T.81, B.1): 0xE1 is Exif or XMP. Undefined:
// not a JPEG.
export function jpeg_markers(bytes: Uint8Array): number[] | undefined {
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return undefined;
  const markers: number[] = [];
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) return undefined;
    const marker = bytes[at + 1] ?? 0;
    if (marker === 0xff) {
      ++at; // fill byte
      continue;
    }
    markers.push(marker);
    if (marker === 0xda) break;
    at += 2 + ((bytes[at + 2] ?? 0) << 8) + (bytes[at + 3] ?? 0);
  }
  return markers;
}

// Only what a canvas writes: JFIF, a color profile, Adobe's marker of the color transform. Exif and
// XMP (0xE1), maker notes, comments are none of it.
export function is_clean(bytes: Uint8Array): boolean {
  const allowed = new Set([0xe0, 0xe2, 0xee]);
  const markers = jpeg_markers(bytes);
  const is_told = (marker: number) => (marker >= 0xe0 && marker <= 0xef) || marker === 0xfe;
  return markers !== undefined && markers.every((one) => !is_told(one) || allowed.has(one));
}

// The size that fits into `most`, never larger than it is.
export function fitted(width: number, height: number, most = 2048): { width: number; height: number } {
  const by = Math.min(1, most / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * by)), height: Math.max(1, Math.round(height * by)) };
}
