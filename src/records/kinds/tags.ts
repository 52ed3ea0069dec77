import { animal, from, meaning, required, to, words } from "../columns.ts";
import type { Kind } from "../kind.ts";

export const tags: Kind = {
  id: "tags",
  table: "tag",
  grain: ["animal", "tag", "from"],
  meaning: meaning(
    "Other tags an animal wore, and from when to when",
    "Otros aretes que llevó un animal y desde cuándo hasta cuándo",
  ),
  columns: [
    {
      ...required(animal),
      headers: words("animal id,goat,goat id,animal tag,current tag", "animal,cabra,arete actual"),
    },
    {
      name: "tag",
      type: "tag",
      required: true,
      headers: words(
        "other tag,worn tag,old tag,new tag,second tag",
        "arete,otro arete,arete viejo,arete nuevo",
      ),
      meaning: meaning("The tag it wore", "El arete que llevó"),
    },
    from,
    to,
  ],
};
