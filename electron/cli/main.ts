#!/usr/bin/env node
import { once } from "node:events";
import { runProgram } from "./program.js";

// Lines are written with the stream's own buffering; a closed pipe (`| head`) ends us quietly.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code === "EPIPE") process.exit(0);
  throw error;
});

process.exitCode = await runProgram(process.argv.slice(2), {
  stdin: process.stdin,
  out: (line) => void process.stdout.write(`${line}\n`),
  taken: async () => {
    if (process.stdout.writableNeedDrain) await once(process.stdout, "drain");
  },
  err: (line) => void process.stderr.write(`${line}\n`),
  env: process.env,
});
