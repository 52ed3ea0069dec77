import { SheetFailure } from "./sheet-failure.ts";

/** Told what an XML document holds, in order. Names come without their namespace prefix. */
export interface XmlHandler {
  open(name: string, attributes: XmlAttributes): void;
  close(name: string): void;
  /** Text between tags, references resolved; one run of text may come in several pieces. */
  text(text: string): void;
}

/** Attributes of the tag just opened; valid only during the call. */
export interface XmlAttributes {
  /** The value of an attribute by its name without prefix. */
  get(name: string): string | undefined;
}

export interface XmlScanner {
  write(piece: string): void;
  /** To be called after the last piece. */
  end(): void;
}

const deepestNesting = 256;
const longestTag = 1024 * 1024;
const longestReference = 12;

/**
 * Scans XML 1.0 as the parts of a workbook are written in it. There is no document type and there are no
 * entities of one's own: a part that declares any is refused, so nothing can expand or fetch.
 *
 * @throws SheetFailure `broken_workbook` on anything not well-formed, from `write` and `end`.
 */
export function scanXml(handler: XmlHandler): XmlScanner {
  let buffer = "";
  let skipUntil: string | null = null;
  let sawRoot = false;
  const openNames: string[] = [];
  const attributes = attributeList();

  function write(piece: string): void {
    buffer = buffer === "" ? piece : buffer + piece;
    let at = 0;
    while (at < buffer.length) {
      const next = step(at);
      if (next === -1) break;
      at = next;
    }
    buffer = buffer.slice(at);
  }

  /** Handles what starts at `at` and returns where it ends, or -1 if more text is needed. */
  function step(at: number): number {
    if (skipUntil !== null) return skip(at, skipUntil);
    if (buffer.charCodeAt(at) !== 60) return text(at);
    const second = buffer.charCodeAt(at + 1);
    if (second === 47) return closeTag(at);
    if (second === 33) return declaration(at);
    if (second === 63) {
      skipUntil = "?>";
      return at + 2;
    }
    return Number.isNaN(second) ? -1 : openTag(at);
  }

  function text(at: number): number {
    const tag = buffer.indexOf("<", at);
    let end = tag === -1 ? buffer.length : tag;
    if (tag === -1) {
      const reference = buffer.lastIndexOf("&");
      const open = reference >= at && buffer.indexOf(";", reference) === -1;
      if (open && end - reference > longestReference) throw notWellFormed("reference");
      if (open) end = reference;
      else if (buffer.charCodeAt(end - 1) === 13) end--;
      if (end === at) return -1;
    }
    // Text outside the root can only be white space and byte order marks.
    if (openNames.length > 0) handler.text(resolved(buffer.slice(at, end)));
    return end;
  }

  function skip(at: number, until: string): number {
    const found = buffer.indexOf(until, at);
    if (found === -1) {
      const end = Math.max(at, buffer.length - until.length + 1);
      if (until === "]]>" && end > at) handler.text(withLineFeeds(buffer.slice(at, end)));
      return end > at ? end : -1;
    }
    if (until === "]]>" && found > at) handler.text(withLineFeeds(buffer.slice(at, found)));
    skipUntil = null;
    return found + until.length;
  }

  function declaration(at: number): number {
    if (buffer.length < at + 9) return -1;
    if (buffer.startsWith("<!--", at)) {
      skipUntil = "-->";
      return at + 4;
    }
    if (buffer.startsWith("<![CDATA[", at) && openNames.length > 0) {
      skipUntil = "]]>";
      return at + 9;
    }
    throw notWellFormed("document type");
  }

  function closeTag(at: number): number {
    const end = buffer.indexOf(">", at);
    if (end === -1) return waitingForTag(at);
    const name = localName(buffer.slice(at + 2, end).trimEnd());
    if (openNames.pop() !== name) throw notWellFormed("tags");
    handler.close(name);
    return end + 1;
  }

  function openTag(at: number): number {
    const end = tagEnd(at + 1);
    if (end === -1) return waitingForTag(at);
    const selfClosing = buffer.charCodeAt(end - 1) === 47;
    const bodyEnd = selfClosing ? end - 1 : end;
    let nameEnd = at + 1;
    while (nameEnd < bodyEnd && buffer.charCodeAt(nameEnd) > 32) nameEnd++;
    const name = localName(buffer.slice(at + 1, nameEnd));
    if (name === "" || (openNames.length === 0 && sawRoot)) throw notWellFormed("tags");
    sawRoot = true;
    attributes.read(buffer, nameEnd, bodyEnd);
    handler.open(name, attributes);
    if (selfClosing) handler.close(name);
    else openNames.push(name);
    if (openNames.length > deepestNesting) throw notWellFormed("nesting");
    return end + 1;
  }

  /** Where the `>` stands that ends a tag, those inside attribute values left out; -1 if not there yet. */
  function tagEnd(from: number): number {
    for (let at = from; at < buffer.length; at++) {
      const unit = buffer.charCodeAt(at);
      if (unit === 62) return at;
      if (unit === 60) throw notWellFormed("tags");
      if (unit === 34 || unit === 39) {
        at = buffer.indexOf(unit === 34 ? '"' : "'", at + 1);
        if (at === -1) return -1;
      }
    }
    return -1;
  }

  function waitingForTag(at: number): number {
    if (buffer.length - at > longestTag) throw notWellFormed("tags");
    return -1;
  }

  return {
    write,
    end() {
      if (!sawRoot || openNames.length > 0 || skipUntil !== null || buffer.trim() !== "")
        throw notWellFormed("end");
    },
  };
}

interface AttributeList extends XmlAttributes {
  read(text: string, from: number, to: number): void;
}

function attributeList(): AttributeList {
  const names: string[] = [];
  const values: string[] = [];
  let count = 0;
  return {
    get(name) {
      for (let index = 0; index < count; index++) if (names[index] === name) return values[index];
      return undefined;
    },
    read(text, from, to) {
      count = 0;
      let at = from;
      while (true) {
        while (at < to && text.charCodeAt(at) <= 32) at++;
        if (at >= to) return;
        const equals = text.indexOf("=", at);
        if (equals === -1 || equals >= to) throw notWellFormed("attributes");
        let open = equals + 1;
        while (open < to && text.charCodeAt(open) <= 32) open++;
        const quote = text[open];
        const close = quote === '"' || quote === "'" ? text.indexOf(quote, open + 1) : -1;
        if (close === -1 || close >= to) throw notWellFormed("attributes");
        names[count] = localName(text.slice(at, equals).trimEnd());
        values[count] = resolved(text.slice(open + 1, close));
        count++;
        at = close + 1;
      }
    },
  };
}

function localName(name: string): string {
  const colon = name.indexOf(":");
  return colon === -1 ? name : name.slice(colon + 1);
}

function withLineFeeds(text: string): string {
  return text.includes("\r") ? text.replace(/\r\n?/g, "\n") : text;
}

const predefined: Record<string, string> = { lt: "<", gt: ">", amp: "&", quot: '"', apos: "'" };

function resolved(raw: string): string {
  const text = withLineFeeds(raw);
  if (!text.includes("&")) return text;
  return text.replace(/&([^;&]{0,12});?/g, (reference, name: string) => {
    if (!reference.endsWith(";")) throw notWellFormed("reference");
    if (!name.startsWith("#")) {
      const character = Object.hasOwn(predefined, name) ? predefined[name] : undefined;
      if (character === undefined) throw notWellFormed("entity");
      return character;
    }
    const point = /^#x[0-9a-f]+$/i.test(name)
      ? Number.parseInt(name.slice(2), 16)
      : /^#\d+$/.test(name)
        ? Number(name.slice(1))
        : -1;
    if (point < 1 || point > 0x10ffff) throw notWellFormed("reference");
    return String.fromCodePoint(point);
  });
}

function notWellFormed(what: string): SheetFailure {
  return new SheetFailure("broken_workbook", `xml ${what}`);
}
