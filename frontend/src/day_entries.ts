// Hours and receipts of the day: written on the phone first, sent as soon as the desk answers.
import { withToken } from "./token";
import { t } from "./words";

/** One form as it was sent: where to, its fields without the page's token, what a person calls it. */
export interface Entry {
  path: string;
  body: string;
  words: string;
}

const HAND_MS = 700; // a second press so soon is the same press
const SIGNED_OUT = [401, 403];

/** A number of its own for each entry, so that the desk counts it once however often it comes. */
function fresh(): string {
  return [...crypto.getRandomValues(new Uint8Array(13))].map((byte) => (byte % 36).toString(36)).join("");
}

export function entryOf(form: HTMLFormElement, button: HTMLElement | null): Entry {
  const data = new FormData(form, button);
  data.set("once", fresh());
  data.delete("token"); // by the time it goes out there may be another
  const fields = [...data].map(([name, value]): [string, string] => [name, String(value)]);
  const typed = fields.filter(([name]) => name === "amount" || name === "what").map(([, value]) => value);
  return {
    path: new URL(form.action).pathname,
    body: new URLSearchParams(fields).toString(),
    words: typed.join(" ").trim() || (button?.textContent ?? "").trim(),
  };
}

export class Entries {
  private sending = false;
  private last = "";
  private lastPress = -HAND_MS;

  constructor(private readonly shelf: string, private readonly page: string, private readonly say: (text: string) => void) {}

  get waiting(): Entry[] {
    try {
      return JSON.parse(localStorage.getItem(this.shelf) ?? "[]") as Entry[];
    } catch {
      return [];
    }
  }

  /** Take a form's press; false where it is the second press of a hand. */
  add(entry: Entry, pressedAt: number): boolean {
    const same = entry.path + entry.words;
    const again = same === this.last && pressedAt - this.lastPress < HAND_MS;
    this.last = same;
    this.lastPress = pressedAt;
    if (again) return false;
    this.put([...this.waiting, entry]);
    return true;
  }

  /** Send what waits, the oldest first; tells whether anything arrived, and the last refusal. */
  async send(): Promise<{ arrived: number; refused: { entry: Entry; why: string } | null }> {
    const told = { arrived: 0, refused: null as { entry: Entry; why: string } | null };
    if (this.sending) return told;
    this.sending = true;
    try {
      for (let entry = this.waiting[0]; entry; entry = this.waiting[0]) {
        const { path, body } = entry;
        const answer = await withToken((token) => {
          const fields = new URLSearchParams(body);
          fields.set("token", token);
          return fetch(path, { method: "POST", body: fields });
        });
        if (SIGNED_OUT.includes(answer.status) || (answer.ok && new URL(answer.url).pathname !== this.page)) {
          this.say(t("Sign in again to send what you wrote down; it is kept on this phone."));
          return told;
        }
        if (answer.status >= 500 || answer.status === 429) throw new Error(String(answer.status));
        if (answer.ok) told.arrived += 1;
        else told.refused = { entry, why: reason(await answer.text()) };
        this.put(this.waiting.slice(1));
      }
      this.say("");
    } catch {
      this.sayWaiting();
    } finally {
      this.sending = false;
    }
    return told;
  }

  sayWaiting(): void {
    const n = this.waiting.length;
    if (n === 0) this.say("");
    else if (n === 1) this.say(t("{n} entry is kept on this phone.", { n }));
    else this.say(t("{n} entries are kept on this phone.", { n }));
  }

  private put(entries: Entry[]): void {
    localStorage.setItem(this.shelf, JSON.stringify(entries));
  }
}

// What the desk's page says is wrong.
function reason(html: string): string {
  const page = new DOMParser().parseFromString(html, "text/html");
  const said = page.querySelector("[role=alert], main");
  return (said?.textContent ?? "").replace(/\s+/g, " ").trim().slice(0, 200);
}
