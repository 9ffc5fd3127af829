// Sentences in the reader's language: written here in American English, translated by the page,
// which carries the book of all scripts (desk/browser_words.py). Values stand in braces.
type Values = Record<string, string | number>;

export type Book = Record<string, string>;

/** The book that a page carries, from its own text or from the document; empty in English. */
export function bookOf(packed: string): Book {
  try {
    return packed ? (JSON.parse(packed) as Book) : {};
  } catch {
    return {};
  }
}

const here = typeof document === "undefined" ? null : document;
const book = bookOf(here?.querySelector<HTMLMetaElement>('meta[name="browser-words"]')?.content ?? "");

/** The reader's locale, for numbers and money. */
export const locale = here?.documentElement.lang && here.documentElement.lang !== "en" ? here.documentElement.lang : "en-US";

/** A sentence with its values. */
export function t(form: string, values: Values = {}, from: Book = book): string {
  return (from[form] ?? form).replace(/\{(\w+)\}/g, (brace, name: string) => String(values[name] ?? brace));
}
