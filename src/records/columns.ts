import type { Choice, Column, Meaning, Words } from "./kind.ts";

/** Columns that several kinds share, written once. */

const words = (en: string, es: string): Words => ({ en: split(en), es: split(es) });
const split = (list: string): string[] => (list === "" ? [] : list.split(",").map((word) => word.trim()));
const meaning = (en: string, es: string): Meaning => ({ en, es });

export { meaning, words };

export function choice(value: string, en: string, es: string): Choice {
  return { value, words: words(en, es) };
}

export const required = <C extends Column>(column: C): C & { required: true } => ({
  ...column,
  required: true,
});

export const animal: Column = {
  name: "animal",
  type: "tag",
  headers: words(
    "tag,ear tag,eartag,animal id,animal tag,goat,goat id,id,doe,number,tag no,tag number,visual id",
    "arete,crotal,identificación,cabra,número,no. de arete,etiqueta,chapeta,animal no",
  ),
  meaning: meaning("The animal's tag, letter for letter", "El arete del animal, letra por letra"),
};

/** May lead every kind of sheet; which flock a row belongs to when it has none is settled by its folder. */
export const flock: Column = {
  name: "flock",
  type: "name",
  names: "flock",
  headers: words("herd,farm,holding,flock name,herd name", "rebaño,hato,granja,finca,rancho,explotación"),
  meaning: meaning("The flock the row belongs to", "El rebaño al que pertenece la fila"),
};

export const date: Column = {
  name: "date",
  type: "day",
  headers: words(
    "day,when,visit,visit date,date of visit,trim date,date trimmed,trimmed on,checked on,seen on,date seen,date scored,date checked",
    "fecha,día,fecha de visita,fecha de recorte,visita",
  ),
  meaning: meaning("The day it was done or seen", "El día en que se hizo o se vio"),
};

export const from: Column = {
  name: "from",
  type: "day",
  headers: words(
    "start,start date,date from,since,begins,first day,in",
    "desde,inicio,fecha de inicio,a partir de",
  ),
  meaning: meaning("The first day that counts", "El primer día que cuenta"),
};

/** The first day of a feed or mineral; a sheet with one date a row means by it the day a change began. */
export const fromDate: Column = {
  ...from,
  headers: words(`${from.headers.en.join(",")},date,changed on`, `${from.headers.es.join(",")},fecha`),
};

export const to: Column = {
  name: "to",
  type: "day",
  headers: words("end,end date,date to,until,till,out", "hasta,fin,fecha de fin"),
  meaning: meaning(
    "The first day that no longer counts; empty means still so",
    "El primer día que ya no cuenta; vacío: sigue",
  ),
};

export const pen: Column = {
  name: "pen",
  type: "name",
  names: "pen",
  headers: words(
    "group,paddock,lot,yard,pasture,barn,location,pen name,house",
    "corral,potrero,lote,grupo,establo,ubicación",
  ),
  meaning: meaning("The pen or paddock", "El corral o potrero"),
};

export const site: Column = {
  name: "site",
  type: "name",
  names: "site",
  headers: words("place,weather station,station,property", "sitio,estación,predio"),
  meaning: meaning("The place whose weather counts", "El sitio cuyo clima cuenta"),
};

export const foot: Column = {
  name: "foot",
  type: "foot",
  headers: words("leg,hoof,limb,which foot", "pata,pezuña,pie,miembro,extremidad"),
  meaning: meaning(
    "Which foot: LF left front, RF right front, LH left hind, RH right hind",
    "Qué pata: LF delantera izquierda, RF delantera derecha, LH trasera izquierda, RH trasera derecha",
  ),
};

export const claw: Column = {
  name: "claw",
  type: "claw",
  headers: words("digit,side,which claw", "dedo,uña,lado"),
  meaning: meaning("Which claw of the foot: inner or outer", "Qué dedo de la pata: interno o externo"),
};

export const note: Column = {
  name: "note",
  type: "text",
  headers: words(
    "notes,remark,remarks,comment,comments,observation,observations",
    "nota,notas,observación,observaciones,comentario,comentarios",
  ),
  meaning: meaning(
    "Anything else, kept and shown, never counted",
    "Cualquier otra cosa; se guarda y se muestra, nunca se cuenta",
  ),
};

export const gaitScale: Column = {
  name: "gait_scale",
  type: "gait_scale",
  headers: words(
    "scale,gait scale,lameness scale,score scale,scoring scale",
    "escala,escala de cojera,escala de marcha",
  ),
  meaning: meaning(
    "The scale of the gait score: 1-5, 0-4, 0-3 or 0-6",
    "La escala de la marcha: 1-5, 0-4, 0-3 o 0-6",
  ),
};

export const scorer: Column = {
  name: "scorer",
  type: "name",
  names: "person",
  headers: words("observer,scored by,assessor,by,who,watched by", "observador,evaluador,calificado por"),
  meaning: meaning("Who scored", "Quién calificó"),
};

export const gait: Column = {
  name: "gait",
  type: "number",
  headers: words(
    "gait score,lameness,lameness score,locomotion,locomotion score,lame score,limp,mobility score",
    "marcha,cojera,puntaje de cojera,locomoción,puntaje de marcha",
  ),
  meaning: meaning("The gait score on its scale", "El puntaje de la marcha en su escala"),
};

export const product: Column = {
  name: "product",
  type: "name",
  names: "product",
  headers: words("brand,product name,mineral,supplement", "producto,marca,suplemento,mineral"),
  meaning: meaning("The product's name", "El nombre del producto"),
};

const OVER_ANY_FEED = "project default: above any feed or mineral";

export function concentration(name: string, en: string, es: string, headers: Words, most: number): Column {
  return {
    name,
    type: "number",
    quantity: "traceMineral",
    bounds: { least: 0, most, source: OVER_ANY_FEED },
    headers,
    meaning: meaning(en, es),
  };
}

export const copperOfDryMatter = concentration(
  "copper_mg_per_kg_dm",
  "Copper, mg per kg of dry matter",
  "Cobre, mg por kg de materia seca",
  words("copper,cu,copper dm,cu dm,copper (dm)", "cobre,cobre ms"),
  5000,
);
export const zincOfDryMatter = concentration(
  "zinc_mg_per_kg_dm",
  "Zinc, mg per kg of dry matter",
  "Zinc, mg por kg de materia seca",
  words("zinc,zn,zinc dm,zn dm", "cinc,zinc ms"),
  20_000,
);
export const molybdenumOfDryMatter = concentration(
  "molybdenum_mg_per_kg_dm",
  "Molybdenum, mg per kg of dry matter",
  "Molibdeno, mg por kg de materia seca",
  words("molybdenum,mo,mo dm", "molibdeno"),
  1000,
);

export const crudeProtein: Column = {
  name: "crude_protein_pct_dm",
  type: "number",
  quantity: "share",
  bounds: { least: 0, most: 100, source: "a share of dry matter" },
  headers: words(
    "crude protein,protein,cp,cp dm,crude protein dm,protein dm,diet protein",
    "proteína cruda,proteína,pc,proteína bruta,pb",
  ),
  meaning: meaning("Crude protein, per cent of dry matter", "Proteína cruda, por ciento de la materia seca"),
};

export const sulphur: Column = {
  name: "sulphur_pct_dm",
  type: "number",
  quantity: "share",
  bounds: { least: 0, most: 5, source: "project default: above any ration" },
  headers: words("sulphur,sulfur,s", "azufre"),
  meaning: meaning("Sulphur, per cent of dry matter", "Azufre, por ciento de la materia seca"),
};
