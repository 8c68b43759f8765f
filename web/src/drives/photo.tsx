// SPDX-License-Identifier: Apache-2.0
// Photos of the manual's pages beside what is typed. They stay on this device; they go to the
// program only as files of a case. Drawn on a canvas: no address outside the program is loaded.
import { useEffect, useRef, useState } from "preact/hooks";

import { in_store } from "../ask";
import { forget, keep, kept } from "../state/local";
import { t } from "../texts";

const kMostPages = 12;

export function usePages(of = ""): [Blob[], (pages: Blob[]) => void] {
  const key = in_store(`/new-engine/pages${of && `/${of}`}`);
  const [pages, set] = useState<Blob[]>([]);
  useEffect(() => {
    void kept<Blob[]>("answers", key).then((old) => old && set(old), () => undefined);
  }, [key]);
  const change = (next: Blob[]) => {
    set(next);
    const done = next.length ? keep("answers", key, next) : forget("answers", key);
    done.catch(() => undefined); // a device that keeps nothing shows them as long as the page is open
  };
  return [pages, change];
}

export function Pages({ pages, change }: { pages: Blob[]; change: (pages: Blob[]) => void }) {
  const [at, go_to] = useState(0);
  const shown = pages[Math.min(at, pages.length - 1)];
  const add = (event: Event & { currentTarget: HTMLInputElement }) => {
    const more = [...pages, ...(event.currentTarget.files ?? [])].slice(-kMostPages);
    event.currentTarget.value = "";
    change(more);
    go_to(more.length - 1);
  };
  return (
    <section class="stack pages">
      <label class="button">
        {t(pages.length ? "manual_photo_more" : "manual_photo")}
        <input class="heard" type="file" accept="image/*" multiple onChange={add} />
      </label>
      {shown ? <Page photo={shown} /> : <p class="faint">{t("manual_photo_help")}</p>}
      {pages.length ? (
        <div class="row">
          {pages.map((_, i) => (
            <button key={i} type="button" class="quiet" aria-pressed={pages[i] === shown} onClick={() => go_to(i)}>
              {t("manual_page_n", { n: i + 1 })}
            </button>
          ))}
          <button type="button" class="quiet" onClick={() => change(pages.filter((page) => page !== shown))}>
            {t("manual_photo_drop")}
          </button>
        </div>
      ) : null}
    </section>
  );
}

function Page({ photo }: { photo: Blob }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [is_large, enlarge] = useState(false);
  const [is_wrong, set_wrong] = useState(false);
  useEffect(() => {
    set_wrong(false);
    draw(photo, canvas.current).catch(() => set_wrong(true));
  }, [photo]);
  return (
    <div class={is_large ? "page large-page" : "page"}>
      {is_wrong ? <p class="wrong">{t("manual_photo_wrong")}</p> : null}
      <button type="button" class="quiet" aria-pressed={is_large} aria-label={t("manual_photo_zoom")} onClick={() => enlarge(!is_large)}>
        <canvas ref={canvas} />
      </button>
    </div>
  );
}

async function draw(photo: Blob, canvas: HTMLCanvasElement | null): Promise<void> {
  const picture = await createImageBitmap(photo);
  if (!canvas) return;
  canvas.width = picture.width;
  canvas.height = picture.height;
  canvas.getContext("2d")?.drawImage(picture, 0, 0);
  picture.close();
}
