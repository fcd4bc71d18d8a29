import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";

export default defineConfig({
  root: "renderer",
  base: "./",
  plugins: [react()],
  build: {
    outDir: "../dist/renderer",
    emptyOutDir: true,
    sourcemap: true,
    // The page's policy allows its own files only, no data: addresses.
    assetsInlineLimit: 0,
    // Read from this disk: one file more or less costs nothing.
    chunkSizeWarningLimit: 2000,
  },
});
