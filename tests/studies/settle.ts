import { Random } from "../workbench/measurement/random.js";
import { KINDS, makeScene } from "./scenes.js";
import { score, trackerRule } from "./settle-run.js";
const RATES = [3, 10, 100, 1000],
  SCALES = [2000, 6000, 60000, 200000, 1000000];
const N = Number(process.env["N"] ?? 40);
const rule = trackerRule({ window_s: 1, counts: 3 });
const t0 = performance.now();
const show = process.env["SHOW"];
for (const kind of KINDS)
  for (const rate of RATES) {
    const delays: number[] = [];
    let f = 0,
      m = 0,
      n = 0,
      off = 0,
      settledN = 0,
      worst = 0;
    for (const fullScale of SCALES)
      for (let k = 0; k < N; k++) {
        const seed = k * 7919 + rate * 31 + fullScale + kind.length * 1000003;
        const scene = makeScene(kind, { rate, fullScale }, new Random(seed));
        const s = score(scene, rule(scene), 1);
        n++;
        if (s.judged === "false") {
          f++;
          if (show === kind)
            console.log(
              kind,
              rate,
              fullScale,
              seed,
              JSON.stringify(rule(scene)),
              scene.settled_s,
              scene.truth,
            );
        }
        if (s.judged === "missed") {
          m++;
          if (show === kind)
            console.log(
              "missed",
              kind,
              rate,
              fullScale,
              seed,
              JSON.stringify(rule(scene)),
              scene.settled_s,
              scene.truth,
            );
        }
        if (scene.settled_s !== null) settledN++;
        if (s.delay_s !== null) {
          delays.push(s.delay_s);
          if (s.error! > 1) off++;
          worst = Math.max(worst, s.error!);
        }
      }
    delays.sort((a, b) => a - b);
    console.log(
      kind.padEnd(7),
      String(rate).padStart(5),
      "n",
      n,
      "false",
      f,
      "missed",
      m,
      "/",
      settledN,
      "median",
      delays[delays.length >> 1]?.toFixed(3),
      "p95",
      delays[Math.floor(delays.length * 0.95)]?.toFixed(2),
      "off>1",
      off,
      "worst",
      worst.toFixed(2),
    );
  }
console.log(((performance.now() - t0) / 1000).toFixed(1), "s");
