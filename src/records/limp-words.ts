import { words } from "./columns.ts";
import type { Words } from "./kind.ts";

/** Words in a remark for an animal that does not walk sound. */
export const limpWords: Words = words(
  "limp,limps,limping,limped,limpy,lame,lameness,hobbling,hobbles,hopping,off on,gimpy,sore foot,sore feet,sore footed,favoring,favouring,favors,favours,tender footed,walking badly,uneven gait",
  "cojea,cojeando,cojeo,coja,cojo,cojera,renquea,rengo,renga,renqueando,camina mal,no pisa bien",
);
