import { animal, date, foot, meaning, note, product, required, words } from "../columns.ts";
import type { Kind } from "../kind.ts";

export const treatments: Kind = {
  id: "treatments",
  table: "treatment",
  grain: ["animal", "date", "foot", "treatment"],
  meaning: meaning("One row for each treatment given", "Una fila por cada tratamiento dado"),
  columns: [
    required(animal),
    required(date),
    foot,
    {
      name: "treatment",
      type: "name",
      names: "treatment",
      required: true,
      headers: words("treated with,treatment given,medicine,drug,action", "tratamiento,medicina,medicamento"),
      meaning: meaning("What was done", "Qué se hizo"),
    },
    { ...product, headers: words("brand,product name", "producto,marca") },
    {
      name: "batch",
      type: "name",
      headers: words("batch no,batch number,lot number", "número de lote,lote del producto"),
      meaning: meaning("The product's batch", "El lote del producto"),
    },
    {
      name: "reason",
      type: "name",
      headers: words("why,indication,treated for", "motivo,razón"),
      meaning: meaning("What it was given for", "Para qué se dio"),
    },
    {
      name: "prescribed_by",
      type: "name",
      names: "person",
      headers: words("prescribed by,vet,prescriber", "recetado por,veterinario"),
      meaning: meaning("Who prescribed it", "Quién lo recetó"),
    },
    {
      name: "dose",
      type: "text",
      headers: words("amount,dosage", "dosis,cantidad"),
      meaning: meaning(
        "The dose as written; kept, never printed as advice",
        "La dosis como se escribió; se guarda, nunca se imprime como consejo",
      ),
    },
    {
      name: "withdrawal_milk_until",
      type: "day",
      headers: words(
        "milk withdrawal,milk withdrawal until,milk withhold until,milk clear",
        "retiro leche,retiro de leche hasta",
      ),
      meaning: meaning("Milk withdrawal recorded as running until", "Retiro de leche registrado hasta"),
    },
    {
      name: "withdrawal_meat_until",
      type: "day",
      headers: words(
        "meat withdrawal,meat withdrawal until,meat clear",
        "retiro carne,retiro de carne hasta",
      ),
      meaning: meaning("Meat withdrawal recorded as running until", "Retiro de carne registrado hasta"),
    },
    {
      name: "withdrawal_until",
      type: "day",
      headers: words("withdrawal,withdrawal end,withhold until", "retiro,retiro hasta"),
      meaning: meaning(
        "Withdrawal of milk and meat recorded as running until",
        "Retiro de leche y carne registrado hasta",
      ),
    },
    note,
  ],
};
