import { choice, date, meaning, note, pen, required, scorer, words } from "../columns.ts";
import type { Kind } from "../kind.ts";

export const ground: Kind = {
  id: "ground",
  table: "ground",
  grain: ["pen", "date", "scorer"],
  meaning: meaning(
    "How wet a pen's ground was on a day",
    "Qué tan mojado estaba el suelo de un corral un día",
  ),
  columns: [
    pen,
    required(date),
    {
      name: "wetness",
      type: "choice",
      required: true,
      choices: [
        choice("0", "dry", "seco,seca"),
        choice("1", "damp,moist", "húmedo,húmeda"),
        choice("2", "wet", "mojado,mojada"),
        choice("3", "standing mud,mud,muddy,soggy", "lodo,barro,encharcado"),
      ],
      headers: words("wet,ground wetness,wetness score,mud,mud score,condition", "humedad,lodo,mojado"),
      meaning: meaning("0 dry, 1 damp, 2 wet, 3 standing mud", "0 seco, 1 húmedo, 2 mojado, 3 lodo"),
    },
    scorer,
    note,
  ],
};
