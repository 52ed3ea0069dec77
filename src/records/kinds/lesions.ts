import { animal, choice, claw, date, foot, meaning, note, required, words } from "../columns.ts";
import type { Kind } from "../kind.ts";

export const lesions: Kind = {
  id: "lesions",
  table: "lesion",
  grain: ["animal", "date", "foot", "claw", "lesion", "examiner"],
  meaning: meaning(
    "One row for each lesion found, or 'none' for a clean look",
    "Una fila por cada lesión encontrada, o 'none' si se revisó y estaba limpia",
  ),
  columns: [
    required(animal),
    required(date),
    foot,
    claw,
    {
      name: "lesion",
      type: "lesions",
      required: true,
      headers: words(
        "lesions,finding,findings,problem,diagnosis,condition,what found",
        "lesión,lesiones,hallazgo,problema,diagnóstico",
      ),
      meaning: meaning(
        "What was found, in plain words; none when examined and clean",
        "Qué se encontró, en palabras; none si se revisó y estaba limpia",
      ),
    },
    {
      name: "severity",
      type: "name",
      headers: words("grade,how bad,degree", "gravedad,grado,severidad"),
      meaning: meaning(
        "How bad, in the examiner's words or number",
        "Qué tan grave, en palabras o número del examinador",
      ),
    },
    {
      name: "smell",
      type: "flag",
      headers: words("smelly,odour,odor,foul smell,stinks", "olor,mal olor,huele"),
      meaning: meaning("Whether it smelled foul", "Si olía mal"),
    },
    {
      name: "status",
      type: "choice",
      choices: [
        choice("found", "new,active,open", "encontrada,nueva,activa"),
        choice("healing", "improving,better", "sanando,mejorando"),
        choice("healed", "cured,gone,resolved,closed", "sanada,curada"),
      ],
      headers: words("state,progress", "estado,estatus"),
      meaning: meaning("found, healing or healed", "found (encontrada), healing (sanando) o healed (sanada)"),
    },
    {
      name: "examiner",
      type: "name",
      names: "person",
      headers: words("examined by,looked by,who examined", "examinador,revisó,revisado por"),
      meaning: meaning("Who looked", "Quién revisó"),
    },
    note,
  ],
};
