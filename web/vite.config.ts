// SPDX-License-Identifier: Apache-2.0
// The page is built into build/page and embedded in the program (cmake/TmEmbed.cmake). What is large
// and not needed at once (recordings, drives) is loaded when it is first wanted.
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";

import { defineConfig, type Plugin } from "vite";

// The service worker keeps exactly what this build made: the list and its hash are written into it.
function kept_files(): Plugin {
  return {
    name: "kept-files",
    generateBundle: {
      order: "post",
      handler(_, bundle) {
        const worker = bundle["sw.js"];
        if (worker?.type !== "chunk") throw new Error("the build has no sw.js");
        const built = Object.values(bundle).filter((one) => one.fileName !== "sw.js");
        const copied = readdirSync("public");
        const files = [
          "/",
          ...built.map((one) => `/${one.fileName}`).filter((name) => name !== "/index.html"),
          ...copied.map((name) => `/${name}`),
        ].sort();
        const sum = createHash("sha256");
        for (const one of built) sum.update(one.type === "chunk" ? one.code : one.source);
        for (const name of copied) sum.update(readFileSync(`public/${name}`));
        worker.code = worker.code
          .replace(/["'`]__FILES__["'`]/, JSON.stringify(files))
          .replace("__BUILD__", sum.digest("hex").slice(0, 16));
      },
    },
  };
}

export default defineConfig({
  publicDir: "public",
  plugins: [kept_files()],
  esbuild: { jsx: "automatic", jsxImportSource: "preact" },
  build: {
    outDir: "../build/page",
    emptyOutDir: true,
    target: "es2022",
    cssTarget: ["chrome100", "firefox100", "safari15"], // nested rules are written out for these
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: {
      input: { index: "index.html", sw: "src/sw.ts" },
      output: {
        entryFileNames: ({ name }) => (name === "sw" ? "sw.js" : "code/[name].js"),
        chunkFileNames: "code/[name]-[hash].js",
        assetFileNames: "code/[name][extname]",
      },
    },
  },
  test: { environment: "happy-dom", include: ["tests/**/*.test.{ts,tsx}"] },
} as Parameters<typeof defineConfig>[0]);
