// SPDX-License-Identifier: Apache-2.0
// Fingers as the browser gets them from the glass: the protocol's touch events, so that scrolling,
// pinching and taking a scroll away from the page are the browser's own.
export async function fingers_on(page) {
  const glass = await page.context().newCDPSession(page);
  const points = (all) => all.map(([x, y], id) => ({ x, y, id, radiusX: 8, radiusY: 8, force: 1 }));
  const send = (type, all) => glass.send("Input.dispatchTouchEvent", { type, touchPoints: points(all) });
  const hand = { send };
  // Every finger goes straight from its first place to its last.
  hand.drag = async (from, to, steps = 8) => {
    await send("touchStart", from);
    for (let i = 1; i <= steps; ++i) {
      const at = from.map(([x, y], n) => [x + ((to[n][0] - x) * i) / steps, y + ((to[n][1] - y) * i) / steps]);
      await send("touchMove", at);
    }
    // It rests before it is lifted: what is thrown rolls on, and the next tap only stops it.
    await page.waitForTimeout(150);
    await send("touchMove", to);
    await send("touchEnd", []);
  };
  hand.tap = async (x, y) => {
    await send("touchStart", [[x, y]]);
    await send("touchEnd", []);
  };
  return hand;
}

export const touched = { hasTouch: true, isMobile: true, serviceWorkers: "block" };

// left, top, width, height in the window
export async function box_of(page, selector) {
  const { x, y, width, height } = await page.locator(selector).first().boundingBox();
  return { x, y, width, height, at: (u, v) => [x + u * width, y + v * height] };
}

// A picture as a camera writes it: `width` × `height` as stored, its left half red, its right half
// blue, and an Exif segment (0xFFE1; CIPA DC-008, TIFF 6.0, big-endian) that says how it lies and, in
// a GPS directory, where it was taken: 53° 33′ 7″ N, invented.
export async function photo_of_a_camera(page, { width = 800, height = 600, orientation = 1 } = {}) {
  const bytes = Buffer.from(await page.evaluate(async ([w, h]) => {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [w, h];
    const pen = canvas.getContext("2d");
    for (const [color, x] of [["#f00", 0], ["#00f", w / 2]]) {
      pen.fillStyle = color;
      pen.fillRect(x, 0, w / 2, h);
    }
    const made = await new Promise((give) => canvas.toBlob(give, "image/jpeg", 0.95));
    return [...new Uint8Array(await made.arrayBuffer())];
  }, [width, height]));
  const tiff = exif_words(orientation);
  const told = Buffer.concat([Buffer.from("Exif\0\0", "latin1"), tiff]);
  const head = Buffer.from([0xff, 0xe1, (told.length + 2) >> 8, (told.length + 2) & 255]);
  return Buffer.concat([bytes.subarray(0, 2), head, told, bytes.subarray(2)]);
}

function exif_words(orientation) {
  const out = Buffer.alloc(120);
  out.write("MM\0*", 0, "latin1");
  out.writeUInt32BE(8, 4);
  const field = (at, tag, type, count, value) => {
    out.writeUInt16BE(tag, at);
    out.writeUInt16BE(type, at + 2);
    out.writeUInt32BE(count, at + 4);
    if (type === 3) out.writeUInt16BE(value, at + 8);
    else if (type === 2) out.write(value, at + 8, "latin1");
    else out.writeUInt32BE(value, at + 8);
  };
  out.writeUInt16BE(2, 8);
  field(10, 0x0112, 3, 1, orientation); // Orientation
  field(22, 0x8825, 4, 1, 38); // GPS directory
  out.writeUInt16BE(2, 38);
  field(40, 1, 2, 2, "N\0"); // GPSLatitudeRef
  field(52, 2, 5, 3, 68); // GPSLatitude
  [53, 1, 33, 1, 7, 1].forEach((value, i) => out.writeUInt32BE(value, 68 + 4 * i));
  return out;
}
