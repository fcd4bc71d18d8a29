import { config } from "zod";

/** Zod compiles its checks with `new Function` unless told not to; the page's policy forbids it. */
config({ jitless: true });
