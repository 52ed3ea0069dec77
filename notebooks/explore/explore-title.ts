import { element } from "../look/element.ts";
import { type Reader, readerOf } from "./reader.ts";

/** The notebook's heading and what it is for, in English until it is known of whom it tells. */
export interface ExploreTitle {
  readonly node: HTMLElement;
  tell(reader: Reader): void;
}

export function exploreTitle(): ExploreTitle {
  const heading = element("h1", { id: "title" });
  const says = element("p");
  const node = element("div", {}, heading, says);
  const tell = ({ language, words }: Reader): void => {
    node.lang = language;
    heading.textContent = words.title;
    says.textContent = words.purpose;
  };
  tell(readerOf());
  return { node, tell };
}
