// SPDX-License-Identifier: Apache-2.0
// The photo on its canvas: shrunk, the marks of a finger on it, and below it a margin that says
// which bank, from where, at which step and when.
import { type Angle, type Point, shown_angle } from "./angle";
import { fitted, is_clean } from "./jpeg";

export interface Marks {
  circle: { center: Point; radius: number } | undefined; // in pixels of the picture
  taps: Point[]; // vertex, one arm, the other
}

export const kNoMarks: Marks = { circle: undefined, taps: [] };
const kMargin = 0.06; // of the longer side

export async function loaded(file: Blob, most = 1920): Promise<ImageBitmap> {
  const full = await createImageBitmap(file, { imageOrientation: "from-image" });
  const size = fitted(full.width, full.height, most);
  const small = await createImageBitmap(full, {
    resizeWidth: size.width,
    resizeHeight: size.height,
    resizeQuality: "high",
  });
  full.close();
  return small;
}

function margin_of(picture: { width: number; height: number }): number {
  return Math.round(kMargin * Math.max(picture.width, picture.height));
}

export function draw(canvas: HTMLCanvasElement, picture: ImageBitmap, marks: Marks, stamp: string, angle: Angle | undefined): void {
  const margin = margin_of(picture);
  canvas.width = picture.width;
  canvas.height = picture.height + margin;
  const on = canvas.getContext("2d");
  if (!on) return;
  on.fillStyle = "#f7f4ec";
  on.fillRect(0, 0, canvas.width, canvas.height);
  on.drawImage(picture, 0, 0);
  draw_marks(on, marks, canvas.width / 250);
  on.fillStyle = "#1c2126";
  const text = angle ? `${stamp} · ${shown_angle(angle)}` : stamp;
  let size = margin * 0.5;
  on.font = `${size}px system-ui, sans-serif`;
  const wide = on.measureText(text).width;
  size *= Math.min(1, (0.96 * canvas.width) / Math.max(1, wide));
  on.font = `${size}px system-ui, sans-serif`;
  on.textBaseline = "middle";
  on.fillText(text, 0.02 * canvas.width, picture.height + margin / 2);
}

// Dark under light, so it is seen on any ground.
function draw_marks(on: CanvasRenderingContext2D, marks: Marks, width: number): void {
  for (const [color, wide] of [["#000", 2 * width], ["#ffb080", width]] as const) {
    on.strokeStyle = color;
    on.lineWidth = wide;
    on.beginPath();
    if (marks.circle) {
      const { center, radius } = marks.circle;
      on.moveTo(center.x + radius, center.y);
      on.arc(center.x, center.y, radius, 0, 2 * Math.PI);
    }
    const [vertex, ...arms] = marks.taps;
    if (vertex) {
      on.moveTo(vertex.x + 4 * width, vertex.y);
      on.arc(vertex.x, vertex.y, 4 * width, 0, 2 * Math.PI);
      for (const arm of arms) {
        on.moveTo(vertex.x, vertex.y);
        on.lineTo(arm.x, arm.y);
      }
    }
    on.stroke();
  }
}

// As JPEG with nothing of the camera in it; undefined: the browser could not, or left something in.
export async function as_jpeg(canvas: HTMLCanvasElement): Promise<Blob | undefined> {
  const made = await new Promise<Blob | null>((give) => canvas.toBlob(give, "image/jpeg", 0.85));
  if (!made || !is_clean(new Uint8Array(await made.arrayBuffer()))) return undefined;
  return made;
}

// A photo that goes up as it is, but for what the camera wrote into it. Undefined: no picture that
// this browser reads, or it could not be written clean.
export async function without_camera(photo: File, most = 4096): Promise<File | undefined> {
  const picture = await loaded(photo, most).catch(() => undefined);
  if (!picture) return undefined;
  const canvas = document.createElement("canvas");
  canvas.width = picture.width;
  canvas.height = picture.height;
  canvas.getContext("2d")?.drawImage(picture, 0, 0);
  picture.close();
  const bytes = await as_jpeg(canvas);
  return bytes && new File([bytes], `${photo.name.replace(/\.[^.]*$/, "")}.jpg`, { type: "image/jpeg" });
}
