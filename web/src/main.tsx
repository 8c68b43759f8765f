// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";

import { App } from "./app";
import { start_said } from "./said/said";
import { start_offline } from "./state/offline";
import { start_outbox } from "./state/outbox";
import "./style/tokens.css";
import "./style/sheet.css";

const page = document.getElementById("page");
if (page) render(<App />, page);
start_said();
void start_outbox();
start_offline();
