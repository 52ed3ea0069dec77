type Child = Node | string | null;
type Properties<T> = Partial<Omit<T, "style" | "children" | "attributes">> & {
  /** Attributes that have no property of their own, such as `aria-label`. */
  readonly attributes?: Readonly<Record<string, string>>;
};

/** A new element of the page; texts become text, never markup. */
export function element<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  properties: Properties<HTMLElementTagNameMap[Name]> = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[Name] {
  const { attributes, ...own } = properties;
  const made = Object.assign(document.createElement(name), own);
  for (const [key, value] of Object.entries(attributes ?? {})) made.setAttribute(key, value);
  made.append(...children.filter((child) => child !== null));
  return made;
}
