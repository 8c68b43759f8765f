// SPDX-License-Identifier: Apache-2.0
import { useRef, useState } from "preact/hooks";

import { t } from "../texts";
import { kRecordingEnds, send_recording } from "./dropped";

export function RecordingButton({ name }: { name: string }) {
  const input = useRef<HTMLInputElement>(null);
  const [says, say] = useState("");
  const chosen = async () => {
    const file = input.current?.files?.[0];
    if (!file) return;
    say(t("drop_sending", { name: file.name }));
    say(await send_recording(name, file));
  };
  return (
    <>
      <button onClick={() => input.current?.click()}>{t("add_recording")}</button>
      <input
        ref={input}
        hidden
        type="file"
        accept={kRecordingEnds.join(",")}
        aria-label={t("add_recording")}
        onChange={() => void chosen()}
      />
      <p role="status">{says}</p>
    </>
  );
}
