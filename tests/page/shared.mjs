// SPDX-License-Identifier: Apache-2.0
// A shop that is shared on the network: TLS, people who log in, a paired tablet.
import { writeFileSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import os from "node:os";
import path from "node:path";

import { opened_page, started } from "./browser.mjs";

export const manager = { name: "Anna Q", password: "socket wrench nine", pin: "90125" };
export const mechanic = { name: "Will", password: "ring spanner ten", pin: "2580" };

// The server; `states` holds the cookies of a "stranger", a "tablet" and the "manager", for opened_as.
export async function started_shared(browser) {
  const folder = await mkdtemp(path.join(os.tmpdir(), "tautmark-shared-"));
  const file = path.join(folder, "password");
  writeFileSync(file, `${manager.password}\n`);
  const server = await started("--share", "--address", "192.168.20.31", "--manager", manager.name, "--password-file", file);
  const end = server.end;
  server.end = async () => {
    await end();
    await rm(folder, { recursive: true, force: true });
  };
  server.port = Number(new URL(server.url).port);
  server.url = `https://127.0.0.1:${server.port}/`;
  const desk = await caller(browser, server);
  await desk.call("POST", "api/login", { name: manager.name, password: manager.password });
  await desk.call("PUT", "api/accounts/Anna%20Q", { pin: manager.pin });
  await desk.call("POST", "api/accounts", { name: mechanic.name, password: mechanic.password, role: "write" });
  await desk.call("PUT", "api/accounts/Will", { pin: mechanic.pin });
  await desk.call("POST", "api/accounts", { name: "Rita", password: "depth gauge six", role: "read" });
  server.new_code = async () => (await desk.call("POST", "api/pairing")).code;
  const tablet = await caller(browser, server);
  await tablet.call("POST", "api/pair", { code: await server.new_code(), name: "tablet bay 3" });
  server.states = { stranger: undefined, tablet: await tablet.state(), manager: await desk.state() };
  await tablet.context.close();
  return server;
}

async function caller(browser, server) {
  const context = await browser.newContext({ ignoreHTTPSErrors: true });
  const call = async (method, target, data) => {
    const answer = await context.request.fetch(server.url + target, {
      method, headers: { "Content-Type": "application/json" }, ...(data ? { data } : {}) });
    if (!answer.ok()) throw new Error(`${method} ${target}: ${answer.status()} ${await answer.text()}`);
    const text = await answer.text();
    return text ? JSON.parse(text) : undefined;
  };
  return { context, call, state: () => context.storageState() };
}

export function opened_as(browser, server, who, size, more = {}) {
  return opened_page(browser, size, { ignoreHTTPSErrors: true, storageState: server.states[who], serviceWorkers: "block", ...more });
}
