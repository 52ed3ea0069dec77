import { animal, choice, meaning, note, required, words } from "../columns.ts";
import type { Kind } from "../kind.ts";

export const animals: Kind = {
  id: "animals",
  table: "animal",
  grain: ["animal"],
  meaning: meaning(
    "One row for each goat: who she is and where she comes from",
    "Una fila por cabra: quién es y de dónde viene",
  ),
  columns: [
    required(animal),
    {
      name: "name",
      type: "text",
      headers: words("animal name,goat name,called", "nombre,nombre de la cabra"),
      meaning: meaning("Its name", "Su nombre"),
    },
    {
      name: "other_tags",
      type: "tags",
      headers: words(
        "other tag,second tag,tattoo,electronic id,eid,rfid,registration,old tag",
        "otros aretes,segundo arete,tatuaje,registro",
      ),
      meaning: meaning("Other tags that mean the same animal", "Otros aretes del mismo animal"),
    },
    {
      name: "sex",
      type: "choice",
      choices: [
        choice("female", "f,doe,nanny,ewe,doeling,she", "hembra,cabra,cabrita"),
        choice("male", "m,buck,billy,buckling,he,ram", "macho,semental,chivo"),
        choice("wether", "w,castrated,castrate,neutered", "castrado,capón"),
      ],
      headers: words("gender", "sexo"),
      meaning: meaning("female, male or wether", "female (hembra), male (macho) o wether (castrado)"),
    },
    {
      name: "born",
      type: "born",
      headers: words(
        "birth,birth date,date of birth,dob,birthday,year born,kidded on",
        "nacimiento,nacido,nacida,fecha de nacimiento,año de nacimiento",
      ),
      meaning: meaning(
        "Day, month or year of birth; ~2019 or 2018-2020 when unsure",
        "Día, mes o año de nacimiento; ~2019 o 2018-2020 si no es seguro",
      ),
    },
    {
      name: "age_at_entry",
      type: "age",
      headers: words("age,age on arrival,age when bought", "edad,edad al llegar"),
      meaning: meaning("Age on entry, such as 2 years or 8 months", "Edad al entrar, como 2 años u 8 meses"),
    },
    {
      name: "sire",
      type: "parents",
      headers: words("father,buck,sire tag,sire id", "padre,semental"),
      meaning: meaning(
        "The sire's tag; A / B when one of several",
        "El arete del padre; A / B si es uno de varios",
      ),
    },
    {
      name: "dam",
      type: "parents",
      headers: words("mother,dam tag,dam id", "madre"),
      meaning: meaning("The dam's tag", "El arete de la madre"),
    },
    {
      name: "line",
      type: "name",
      names: "line",
      headers: words("breeding line,sire line,family,bloodline,strain", "línea,familia,linaje"),
      meaning: meaning("The breeding line", "La línea de cría"),
    },
    {
      name: "breed",
      type: "name",
      names: "breed",
      headers: words("breed name,race", "raza"),
      meaning: meaning("The breed", "La raza"),
    },
    {
      name: "purpose",
      type: "choice",
      choices: [
        choice("dairy", "milk,milking", "leche,lechera,lechero"),
        choice("meat", "slaughter", "carne"),
        choice("fibre", "fiber,mohair,cashmere,wool", "fibra,pelo"),
        choice("show", "showing", "exposición"),
        choice("pet", "hobby,companion,brush", "mascota,compañía"),
      ],
      headers: words("use,kept for", "propósito,uso,destino"),
      meaning: meaning("What it is kept for", "Para qué se tiene"),
    },
    {
      name: "origin",
      type: "choice",
      choices: [
        choice("home-bred", "home bred,homebred,born here,own", "propia,propio,nacida aquí,de la casa"),
        choice("bought", "purchased,bought in", "comprada,comprado"),
        choice("loan", "on loan,leased", "prestada,prestado"),
        choice("unknown", "not known,?", "desconocido,desconocida"),
      ],
      headers: words("source,where from", "origen,procedencia"),
      meaning: meaning(
        "home-bred, bought, loan or unknown",
        "home-bred (propia), bought (comprada), loan (prestada) o unknown",
      ),
    },
    {
      name: "from_flock",
      type: "name",
      names: "flock",
      headers: words("from herd,previous flock,seller,bought from", "rebaño de origen,comprada a"),
      meaning: meaning("The flock it came from", "El rebaño del que vino"),
    },
    {
      name: "entered",
      type: "day",
      headers: words("entry,entry date,arrived,date in,bought on,joined", "entrada,fecha de entrada,llegó"),
      meaning: meaning("The day it joined the flock", "El día en que entró"),
    },
    {
      name: "left",
      type: "day",
      headers: words("exit,exit date,date out,sold,died,culled on,departed", "salida,fecha de salida,baja"),
      meaning: meaning("The day it left the flock", "El día en que salió"),
    },
    {
      name: "left_reason",
      type: "name",
      headers: words("reason left,exit reason,why left,reason", "motivo de salida,motivo de baja"),
      meaning: meaning("Why it left", "Por qué salió"),
    },
    note,
  ],
};
