import type { OpenBook } from "../book/open-book.ts";
import { tableRows } from "../book/table-rows.ts";
import { answerView } from "../look/answer-view.ts";
import { element } from "../look/element.ts";
import { asPicture } from "../plots/as-picture.ts";
import type { Question } from "./question.ts";
import { english } from "./words/english.ts";
import type { ExploreWords } from "./words/explore-words.ts";

/** Width under which no picture is drawn, px: a page that is being laid out may say that it has none. */
const LEAST_WIDTH = 280;

/** A question's figure, its rows and its SQL. */
export async function showQuestion(
  book: OpenBook,
  question: Question,
  width: number,
  words: ExploreWords = english,
): Promise<HTMLElement> {
  const answer = await book.table(question.sql);
  const shaped = question.shape ? question.shape(answer) : answer;
  const picture = question.draw(tableRows(shaped), Math.max(width, LEAST_WIDTH));
  return element(
    "section",
    {},
    element("h2", {}, question.asks),
    picture === null
      ? element("p", { className: "note" }, question.none)
      : element("figure", {}, asPicture(picture), element("figcaption", {}, question.says)),
    element("details", {}, element("summary", {}, words.rows), answerView(answer, "rows")),
    askedInSql(question.sql, words),
  );
}

/** A question that is answered by its rows. */
export async function showRows(book: OpenBook, { asks, sql, none }: Question): Promise<HTMLElement> {
  return element(
    "section",
    {},
    element("h2", {}, asks),
    element("p", {}, none),
    answerView(await book.table(sql), asks),
    askedInSql(sql, english),
  );
}

function askedInSql(sql: string, words: ExploreWords): HTMLElement {
  return element(
    "details",
    {},
    element("summary", {}, words.inSql),
    element("pre", {}, element("code", {}, sql)),
    element("p", {}, element("a", { href: `./ask.html#${encodeURIComponent(sql)}` }, words.yourWay)),
  );
}
