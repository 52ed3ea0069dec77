import { animal, from, meaning, pen, required, to, words } from "../columns.ts";
import type { Kind } from "../kind.ts";

export const trial: Kind = {
  id: "trial",
  table: "trial",
  grain: ["pen", "animal", "arm", "from"],
  meaning: meaning(
    "Which arm of a study a pen or an animal was in",
    "En qué grupo de un estudio estaba un corral o un animal",
  ),
  columns: [
    pen,
    animal,
    {
      name: "arm",
      type: "name",
      names: "arm",
      required: true,
      headers: words("study arm,treatment arm,trial arm", "grupo de estudio,tratamiento del ensayo,brazo"),
      meaning: meaning("The study arm", "El grupo del estudio"),
    },
    required(from),
    to,
  ],
};
