// SPDX-License-Identifier: Apache-2.0
// The page is built into build/page and embedded in the program (cmake/TmEmbed.cmake). What is large
// and not needed at once (recordings, drives) is loaded when it is first wanted.
import { defineConfig } from "vite";

export default defineConfig({
  publicDir: "public",
  esbuild: { jsx: "automatic", jsxImportSource: "preact" },
  build: {
    outDir: "../build/page",
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: {
      output: {
        entryFileNames: "code/[name].js",
        chunkFileNames: "code/[name]-[hash].js",
        assetFileNames: "code/[name][extname]",
      },
    },
  },
  test: { environment: "happy-dom", include: ["tests/**/*.test.{ts,tsx}"] },
} as Parameters<typeof defineConfig>[0]);
