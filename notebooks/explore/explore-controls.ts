import { exposureName } from "../../src/report/words/associations.ts";
import { element } from "../look/element.ts";
import { type Choices, type Offer, type Topic, topics } from "./choices.ts";
import { readerOf } from "./reader.ts";

type Choice = Exclude<keyof Choices, "reader">;

/** Which choices a topic takes. */
const taken: Readonly<Record<Topic, readonly Choice[]>> = {
  growth: ["season", "group", "pen", "line", "exposure"],
  lameness: ["season", "group", "pen", "line"],
  retrim: ["group"],
  conditions: ["outcome", "exposure", "lag"],
  lines: ["line"],
};

/** Outcomes of a score, which conditions of so many days before are asked for. */
const overDays = ["lame", "new_lameness"];

/** Days that are looked at first, as on the pages. */
const MAIN_LAG = "28";

/** The controls as one form; an input of the notebook whose value is what is chosen. */
export function exploreControls(offer: Offer): HTMLFormElement & { value?: Choices } {
  const flocks = [...offer.readers.keys()];
  const [first = readerOf()] = offer.readers.values();
  const { words, language } = first;
  const select = (choice: Choice, options: readonly (readonly [string, string])[]): HTMLSelectElement =>
    element(
      "select",
      { id: `choose-${choice}`, name: choice },
      ...options.map(([value, says]) => element("option", { value }, says)),
    );
  const plain = (values: readonly string[]): (readonly [string, string])[] =>
    values.map((value) => [value, words.values[value] ?? value.replace("-", " ")]);
  const any = (says: string, values: readonly string[]): (readonly [string, string])[] => [
    ["", says],
    ...values.map((value) => [value, value] as const),
  ];
  const selects: Readonly<Record<Choice, HTMLSelectElement>> = {
    topic: select(
      "topic",
      topics.map((topic) => [topic, words.topics[topic]] as const),
    ),
    flock: select(
      "flock",
      flocks.map((flock) => [flock, flock] as const),
    ),
    season: select("season", plain(offer.seasons)),
    group: select("group", plain(offer.groups)),
    pen: select("pen", any(words.everyPen, offer.pens)),
    line: select("line", any(words.everyLine, offer.lines)),
    outcome: select("outcome", plain(offer.outcomes)),
    exposure: select(
      "exposure",
      offer.exposures.map((exposure) => [exposure, exposureName(exposure, language)] as const),
    ),
    lag: select(
      "lag",
      offer.lags.map((lag) => [lag, words.days(lag)] as const),
    ),
  };
  const entries = Object.entries(selects) as readonly [Choice, HTMLSelectElement][];
  const fields = new Map(
    entries.map(([choice, node]) => [
      choice,
      element("div", {}, element("label", { htmlFor: node.id }, words.labels[choice]), node),
    ]),
  );
  const form: HTMLFormElement & { value?: Choices } = element(
    "form",
    { className: "controls", attributes: { "aria-label": words.whatToAsk, lang: language } },
    ...fields.values(),
  );
  if (offer.groups.includes("pen")) selects.group.value = "pen";
  if (offer.lags.includes(MAIN_LAG)) selects.lag.value = MAIN_LAG;
  const read = (): void => {
    const topic = selects.topic.value as Topic;
    for (const [choice, field] of fields)
      field.hidden =
        choice === "flock"
          ? flocks.length < 2
          : choice === "lag"
            ? topic !== "conditions" || !overDays.includes(selects.outcome.value)
            : choice !== "topic" && !taken[topic].includes(choice);
    const chosen = Object.fromEntries(entries.map(([choice, { value }]) => [choice, value])) as Record<
      Choice,
      string
    >;
    form.value = { ...chosen, topic, reader: offer.readers.get(chosen.flock) ?? first };
  };
  // before the notebook hears of a change, the form's value says it
  form.addEventListener("input", read, { capture: true });
  form.addEventListener("submit", (event) => event.preventDefault());
  read();
  return form;
}
