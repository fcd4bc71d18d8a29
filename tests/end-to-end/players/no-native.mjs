/** Loaded before the program: the packages with a native part are not installed. */
import { register } from "node:module";

const hooks = `
  const missing = /^(serialport|node-hid|@abandonware\\/noble)/;
  export async function resolve(name, context, next) {
    if (missing.test(name)) throw new Error("not installed: " + name);
    return next(name, context);
  }`;
register(`data:text/javascript,${encodeURIComponent(hooks)}`);
