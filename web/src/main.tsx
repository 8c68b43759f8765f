// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";

import { App } from "./app";
import { take_place } from "./route";
import { start_offline } from "./state/offline";
import { start_outbox } from "./state/outbox";
import "./style/tokens.css";
import "./style/sheet.css";

take_place();
const page = document.getElementById("page");
if (page) render(<App />, page);
void start_outbox();
start_offline();
