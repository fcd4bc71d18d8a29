import { vi } from "vitest";

/**
 * For tests that do much on disk: they are not timed, and a machine shared with other work must not
 * fail them. Import for its effect.
 */
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });
