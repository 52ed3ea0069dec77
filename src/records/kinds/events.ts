import { choice, date, meaning, note, pen, required, words } from "../columns.ts";
import type { Kind } from "../kind.ts";

export const events: Kind = {
  id: "events",
  table: "event",
  grain: ["date", "pen", "event"],
  meaning: meaning(
    "Things done to a pen that are worth a mark on a chart",
    "Cosas hechas en un corral que merecen una marca en la gráfica",
  ),
  columns: [
    required(date),
    pen,
    {
      name: "event",
      type: "choice",
      required: true,
      choices: [
        choice("footbath", "foot bath,hoof bath", "pediluvio,baño de patas"),
        choice("bedding", "new bedding,bedded", "cama,cama nueva"),
        choice("vaccination", "vaccine,vaccinated", "vacunación,vacuna"),
        choice("moved", "move,moved pens", "traslado,cambio de corral"),
        choice("new animals", "new goats,arrivals", "animales nuevos,llegadas"),
        choice("housing change", "housed,turned out,turnout", "cambio de alojamiento"),
        choice("other", "", "otro"),
      ],
      headers: words("event type,what happened,happening", "evento,qué pasó"),
      meaning: meaning("What was done", "Qué se hizo"),
    },
    note,
  ],
};
