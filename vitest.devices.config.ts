import { defineConfig } from "vitest/config";

/** Tests in a virtual machine with real kernel devices; started by `npm run test:devices`. */
export default defineConfig({
  test: {
    reporters: ["default", "./tests/plain-reporter.ts"],
    include: ["tests/devices/**/*.test.ts"],
    fileParallelism: false,
    testTimeout: 120_000,
    hookTimeout: 300_000,
  },
});
