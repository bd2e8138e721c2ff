import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vite";

// The pages are built into the package, so that whoever serves them needs no Node.
export default defineConfig({
  plugins: [svelte()],
  base: "/",
  build: {
    outDir: "../src/lidoff/bench/pages",
    emptyOutDir: true,
    target: "es2023",
    // The page's policy forbids scripts and styles inside the document, and data addresses for fonts.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 600,
    rolldownOptions: { input: ["index.html", "phone.html"], checks: { pluginTimings: false } },
  },
});
