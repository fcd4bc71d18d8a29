/** The sandboxed preload must be one CommonJS file: a sandbox has no module loader. */
import { fileURLToPath } from "node:url";
import { build } from "vite";

const here = (path) => fileURLToPath(new URL(`../${path}`, import.meta.url));

await build({
  configFile: false,
  logLevel: "warn",
  build: {
    lib: {
      entry: here("electron/preload/preload.ts"),
      formats: ["cjs"],
      fileName: () => "preload.cjs",
    },
    outDir: here("dist/electron/preload"),
    emptyOutDir: false,
    minify: false,
    rollupOptions: { external: ["electron"] },
  },
});
