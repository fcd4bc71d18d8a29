import { z } from "zod";
import { ORDERS } from "../../../workbench/contract/orders.js";
import type { Order } from "../../../workbench/contract/orders.js";
import { keepInShop, readText, shopFiles } from "./shop-folder.js";

const orderSchema = z.object({ order: z.enum(ORDERS) });

/** The order that runs begin with in this shop: the one that was chosen last. */
export async function shopOrder(jobs: string): Promise<Order> {
  const [file] = await shopFiles(jobs, "order");
  if (file === undefined) return "fixed";
  try {
    return orderSchema.parse(JSON.parse(await readText(file))).order;
  } catch {
    // A damaged setting must not keep anybody from measuring.
    return "fixed";
  }
}

export async function keepShopOrder(jobs: string, order: Order): Promise<void> {
  if (order !== (await shopOrder(jobs))) {
    await keepInShop(jobs, "order", "order", `${JSON.stringify({ order })}\n`);
  }
}
