import { inventory } from "../../drivers/inventory.js";
import type { Place } from "../../drivers/inventory.js";
import { practiceAddress } from "./options.js";

interface ListedMeter {
  readonly address: string;
  readonly title: string;
  readonly note: string;
}

/**
 * Meters that a window can offer: the practice bench, and the ports that are here now. What a meter
 * speaks is found out when it is chosen.
 */
export async function listMeters(): Promise<ListedMeter[]> {
  const { places } = await inventory({ radio: false });
  return [
    {
      address: practiceAddress("cordless-brushed", ["any"], undefined),
      title: "Practice bench",
      note: "A simulated tool with a hidden fault; no meter needed",
    },
    ...places.map((place) => listed(place, places)),
  ];
}

/** The cable itself where it can be told from the others, whatever port it comes up as. */
function listed({ address, lasting, title }: Place, all: readonly Place[]): ListedMeter {
  const isUnique = all.filter((each) => each.lasting === lasting).length === 1;
  return { address: lasting !== null && isUnique ? lasting : address, title: address, note: title };
}
