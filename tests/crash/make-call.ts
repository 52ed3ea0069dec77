import { coronet } from "../../pipelines/coronet.ts";
import type { Rim } from "../../pipelines/rim.ts";
import { bringUpAsInvented } from "./invented-upgrade.ts";

/** Makes a call of the command line, or the one that no verb makes alone: bringing a book of before up. */
export async function makeCall(argv: readonly string[], rim: Rim): Promise<number> {
  if (argv[0] !== "bring-up") return coronet(argv, rim);
  await bringUpAsInvented(argv[1]!);
  return 0;
}
