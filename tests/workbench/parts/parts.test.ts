import { describe, expect, test } from "vitest";
import { LeadhandError } from "../../../protocols/error.js";
import { report } from "../../../workbench/diagnosis/report.js";
import { modelOf } from "../../../workbench/models/kinds.js";
import { USUAL_LABOUR, cheapestCover } from "../../../workbench/parts/cover.js";
import { USUAL_TERMS, decide } from "../../../workbench/parts/decision.js";
import { partsCsv } from "../../../workbench/parts/parts-csv.js";
import { readPriceList } from "../../../workbench/parts/price-list.js";
import type { Item } from "../../../workbench/parts/price-list.js";

const model = modelOf("cordless-brushed", { charger: "always-live" })!;
const HEADER = "number,label,covers,price,currency,fit_min\r\n";
/** Invented items at invented prices. */
const LIST = `${HEADER}X-001,"Brush pair, invented",brushes,7.77,XTS,6
X-002,Motor with brushes (invented),motor;brushes,33.33,XTS,10
X-003,Trigger switch with leads (invented),switch;lead-red;lead-black,22.22,XTS,12
X-004,Red lead (invented),lead-red,1.11,XTS,8
`;

function broken(csv: string): string {
  try {
    readPriceList(csv, model);
  } catch (thrown) {
    expect(thrown).toBeInstanceOf(LeadhandError);
    return (thrown as LeadhandError).message;
  }
  throw new Error("it was accepted");
}

describe("a price list", () => {
  test("is read with quoted fields and parts joined by semicolons", () => {
    const { currency, items } = readPriceList(LIST, model);
    expect(currency).toBe("XTS");
    expect(items).toHaveLength(4);
    expect(items[0]).toEqual({
      number: "X-001",
      label: "Brush pair, invented",
      covers: ["brushes"],
      price: 7.77,
      fit_min: 6,
    });
  });

  test.each([
    ["a missing column", "number,label\r\nA,B\r\n", "line 1, column covers"],
    [
      "a price that is none",
      `${HEADER}A,B,brushes,12 each,XTS,5\r\n`,
      'line 2, column price: "12 each"',
    ],
    ["an unknown part", `${HEADER}A,B,brushs,12,XTS,5\r\n`, 'the nearest is "brushes"'],
    [
      "a number twice",
      `${HEADER}A,B,brushes,1,XTS,5\r\nA,C,motor,1,XTS,5\r\n`,
      "line 3, column number",
    ],
    [
      "two currencies",
      `${HEADER}A,B,brushes,1,XTS,5\r\nC,D,motor,1,XXX,5\r\n`,
      "line 3, column currency",
    ],
    ["no items", HEADER, "no item"],
    ["an open quote", `${HEADER}"A,B\r\n`, "not CSV"],
  ])("with %s is refused with its place", (_, csv, expected) => {
    expect(broken(csv)).toContain(expected);
  });
});

describe("the cheapest cover", () => {
  const prices = readPriceList(LIST, model);

  test("takes the part alone where that is cheaper than the assembly", () => {
    expect(cheapestCover(model, prices, ["brushes"])?.items.map((one) => one.number)).toEqual([
      "X-001",
    ]);
  });
  test("takes the assembly once where it covers two suspects", () => {
    const found = cheapestCover(model, prices, ["brushes", "motor"]);
    expect(found?.items.map((one) => one.number)).toEqual(["X-002"]);
    expect(found?.labour_min).toBe(USUAL_LABOUR.motorOut_min + 10);
    expect(found?.total).toBeCloseTo(33.33 + ((25 + 10) / 60) * 48, 2);
  });
  test("is null where nothing covers a suspect, and empty where nothing is wanted", () => {
    expect(cheapestCover(model, prices, ["gear-train"])).toBeNull();
    expect(cheapestCover(model, prices, [])).toMatchObject({ items: [], total: 0 });
  });
  test("agrees with trying every set of items", () => {
    const parts = model.parts.map((part) => part.id);
    let state = 12345;
    const random = (n: number): number => {
      state = (Math.imul(state, 1103515245) + 12345) >>> 1;
      return state % n;
    };
    for (let round = 0; round < 60; round += 1) {
      const items = Array.from({ length: 7 }, (_, i): Item => ({
        number: `R-${i}`,
        label: "random",
        covers: parts.filter(() => random(4) === 0),
        price: 1 + random(40),
        fit_min: random(10),
      }));
      const wanted = parts.filter(() => random(3) === 0).slice(0, 4);
      const found = cheapestCover(model, { currency: "XTS", items }, wanted);
      expect(found?.total ?? null).toBe(byTrying(items, wanted));
    }
  });
});

/** Every subset of the items; the independent check of the search. */
function byTrying(items: readonly Item[], wanted: readonly string[]): number | null {
  let best: number | null = null;
  for (let set = 0; set < 2 ** items.length; set += 1) {
    const chosen = items.filter((_, i) => (set >> i) % 2 === 1);
    if (!wanted.every((part) => chosen.some((item) => item.covers.includes(part)))) continue;
    const reached = model.parts.filter((part) =>
      chosen.some((item) => item.covers.includes(part.id)),
    );
    const out = reached.some((part) => part.access === "motor-out");
    const open = reached.some((part) => part.access === "open");
    const minutes = chosen.reduce((sum, item) => sum + item.fit_min, out ? 25 : open ? 12 : 0);
    const price = chosen.reduce((sum, item) => sum + item.price, 0);
    const total = Math.round((price + Math.round((minutes / 60) * 48 * 100) / 100) * 100) / 100;
    if (best === null || total < best) best = total;
  }
  return best;
}

test("repair and replacement side by side, with the assumptions and the parts list", () => {
  const prices = readPriceList(LIST, model);
  const found = report(model, [
    {
      kind: "measured",
      quantity: "resistance",
      red: "switch-in-plus",
      black: "switch-out-plus",
      condition: model.conditions.find((one) => one.id === "pack-out-squeezed")!.condition,
      value: null,
      u: null,
      proved: true,
      unsteady: null,
    },
  ]);
  const decision = decide(model, found, prices, {
    ...USUAL_TERMS,
    newTool: 30,
    underWarranty: true,
  });
  expect(decision.suspects).toEqual(["switch"]);
  expect(decision.repair?.items.map((one) => one.number)).toEqual(["X-003"]);
  expect(decision.cheaper).toBe("replace");
  expect(decision.warranty?.words).toContain("before claiming");
  expect(decision.assumptions.join(" ")).toContain("not settled");
  expect(partsCsv(decision)).toBe(
    "number,label,covers,price,currency\r\nX-003,Trigger switch with leads (invented),switch;lead-red;lead-black,22.22,XTS\r\n",
  );
});

test("a cell that looks like a formula is written as text", () => {
  const item = {
    number: "=1+1",
    label: 'a "quoted", one',
    covers: ["motor"],
    price: 1,
    fit_min: 1,
  };
  const cover = { items: [item], labour_min: 1, parts_cost: 1, labour_cost: 1, total: 2 };
  const decision = { repair: cover, currency: "XTS" } as unknown as Parameters<typeof partsCsv>[0];
  expect(partsCsv(decision)).toContain(`'=1+1,"a ""quoted"", one",motor,1.00,XTS\r\n`);
});
