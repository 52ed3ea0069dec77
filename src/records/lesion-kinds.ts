import { words } from "./columns.ts";
import type { Words } from "./kind.ts";

/** Lesions of the foot, spelled out. `contagious` ones are looked at first and trimmed last. */
export interface LesionKind {
  readonly words: Words;
  /** Whether it may spread on tools, hands and ground. */
  readonly contagious: boolean;
  /** Whether cutting into it does harm: looked at and treated with the vet. */
  readonly leaveToVet: boolean;
}

const lesion = (
  en: string,
  es: string,
  traits: { contagious?: true; leaveToVet?: true } = {},
): LesionKind => ({
  words: words(en, es),
  contagious: traits.contagious ?? false,
  leaveToVet: traits.leaveToVet ?? false,
});

export const lesionKinds = {
  none: lesion(
    "none,clean,nothing,no lesion,no lesions,clear,ok,nothing found,sound,healthy,normal,no problem,no problems,no issue,no issues,no finding,no findings,no abnormality,no abnormalities,all clear,all good,good,fine",
    "ninguna,ninguno,limpia,limpio,sin lesión,sin lesiones,nada,sana,sano,normal,no lesión,no lesiones,sin problema,sin problemas,no problema,no problemas,sin hallazgos,no hallazgos,bien,todo bien",
  ),
  "sore between the toes": lesion(
    "sore between the toes,sore between toes,interdigital dermatitis,scald,foot scald,red between toes,raw between toes,red between the toes,sore,interdigital sore",
    "llaga entre los dedos,dermatitis interdigital,llaga,irritación entre dedos,escaldadura",
    { contagious: true, leaveToVet: true },
  ),
  footrot: lesion(
    "footrot,foot rot,hoof rot,rot,underrun,under-run horn,virulent footrot",
    "podredumbre,gabarro,pedero,pietín,podredumbre de la pezuña",
    { contagious: true, leaveToVet: true },
  ),
  "contagious ovine digital dermatitis-like": lesion(
    "contagious ovine digital dermatitis-like,contagious ovine digital dermatitis,codd,digital dermatitis,codd-like,sore at the coronet stripping horn",
    "dermatitis digital contagiosa,dermatitis digital",
    { contagious: true, leaveToVet: true },
  ),
  "white line separation": lesion(
    "white line separation,white line split,white line,separated white line,white line disease,wall separation",
    "separación de línea blanca,línea blanca",
  ),
  "white line abscess": lesion(
    "white line abscess,foot abscess,hoof abscess,abscess,toe abscess,pus",
    "absceso de línea blanca,absceso,absceso de pezuña,pus",
    { leaveToVet: true },
  ),
  "loose wall": lesion(
    "loose wall,shelly hoof,shelly,loose horn,wall pocket,hollow wall,packed wall",
    "pared suelta,pared floja,pezuña hueca",
  ),
  "toe granuloma": lesion(
    "toe granuloma,granuloma,proud flesh,strawberry",
    "granuloma,granuloma de la punta,carnosidad",
    { leaveToVet: true },
  ),
  "sole haemorrhage": lesion(
    "sole haemorrhage,sole hemorrhage,bruised sole,sole bruise,bruise,bruising,blood in the sole",
    "hemorragia de la suela,suela magullada,moretón",
  ),
  "laminitis signs": lesion(
    "laminitis signs,laminitis,founder,foundered,hot feet,hoof rings,growth rings,dropped sole",
    "laminitis,infosura,patas calientes,anillos",
  ),
  crack: lesion(
    "crack,cracked,split,cracked hoof,hoof crack,split hoof,split toe",
    "grieta,rajadura,pezuña rajada,agrietada",
  ),
  overgrowth: lesion(
    "overgrowth,overgrown,long,curled,slipper toe,long toes,folded over,too long",
    "sobrecrecimiento,crecida,larga,enroscada,pezuñas largas",
  ),
  injury: lesion(
    "injury,wound,cut,laceration,torn,hurt,puncture",
    "herida,cortada,lesión por golpe,golpe,lastimada",
  ),
  "foreign body": lesion(
    "foreign body,thorn,stone,nail,splinter,wire,glass",
    "cuerpo extraño,espina,piedra,clavo,astilla,alambre,vidrio",
  ),
  "swollen coronet or joint": lesion(
    "swollen coronet or joint,swollen coronet,swollen joint,swollen fetlock,swollen pastern,swelling,joint ill,swollen knee,arthritis",
    "corona hinchada,articulación hinchada,hinchazón,artritis,menudillo hinchado",
    { leaveToVet: true },
  ),
  other: lesion("other", "otra,otro"),
} as const satisfies Record<string, LesionKind>;

export type LesionId = keyof typeof lesionKinds;

export const lesionIds = Object.keys(lesionKinds) as readonly LesionId[];

/**
 * Words beside which a lame or sore animal may have a notifiable disease (foot-and-mouth and its like):
 * sudden lameness with blisters or erosions in mouth, coronet or between the claws, fever, drooling
 * (Winter 2008, Small Rumin Res 76:149 lists the diseases; signs from memory).
 */
export const notifiableSigns: Words = words(
  "blister,blisters,vesicle,vesicles,drool,drooling,slobber,slobbering,mouth sore,mouth sores,sores in mouth,sore mouth,mouth ulcer,mouth ulcers,erosions,fever,high temperature,sores at the coronet,sore coronet,ulcers at the coronet",
  "ampolla,ampollas,vesícula,vesículas,babea,babeo,babeando,llagas en la boca,llaga en la boca,úlceras en la boca,fiebre,calentura,llagas en la corona",
);

/** Words for an animal that cannot use a limb: a matter for the vet the same day. */
export const notStandingSigns: Words = words(
  "down,can't stand,cannot stand,not standing,won't stand,not bearing weight,non weight bearing,three-legged,three legged,on three legs,won't get up",
  "caída,no se levanta,no se para,no apoya,en tres patas",
);
