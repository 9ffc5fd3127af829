// The side of the design page: piece list and panel. The desk renders them; a fresh one is merged
// into the page, so that nothing is replaced under a hand. Every change says which version the
// panel showed when it was made.
import { Idiomorph } from "idiomorph";
import { armChips } from "./chips";
import { armShades } from "./shades";
import { armSteppers } from "./steppers";
import { armWay } from "./way";
import type { Lengths } from "./lengths";
import type { Change, Path } from "./api_client";
import { t } from "../words";

export interface Actions {
  edit(changes: Change[], version: number, after?: "focus" | "none"): void;
  choose(piece: number | null, name?: string): void;
  underway(): Set<string>;
}

export class Side {
  constructor(private readonly root: HTMLElement, private readonly actions: Actions, lengths: Lengths) {
    armChips(root);
    armSteppers(root);
    armWay(root, lengths, (changes) => actions.edit(changes, this.version));
    armShades(root, (changes) => actions.edit(changes, this.version));
    root.addEventListener("change", (event) => this.changed(event.target as HTMLInputElement));
    root.addEventListener("submit", (event) => this.submitted(event as SubmitEvent));
    root.addEventListener("click", (event) => this.clicked(event as MouseEvent));
  }

  get version(): number {
    return Number(this.root.dataset["version"]);
  }

  /** A fresh panel: what is being typed, what is open and where the cursor stands stay. */
  merge(html: string): void {
    const holder = document.createElement("template");
    holder.innerHTML = html;
    const fresh = holder.content.querySelector<HTMLElement>("#side");
    if (!fresh) return;
    const underway = this.actions.underway();
    const other = fresh.dataset["name"] !== this.root.dataset["name"];
    if (other) for (const entry of this.root.querySelectorAll<HTMLDetailsElement>(".panel details")) entry.removeAttribute("open");
    Idiomorph.morph(this.root, fresh, {
      ignoreActiveValue: !other,
      callbacks: {
        beforeNodeRemoved: (node: Node) => !(node instanceof Element && node.closest("[data-palette-found]")),
        beforeNodeMorphed: (old: Node, next: Node) => !(old instanceof HTMLElement && next instanceof HTMLElement && this.held(old, underway)),
        beforeAttributeUpdated: (name: string, node: Element) => !(name === "open" && node instanceof HTMLDetailsElement),
      },
    });
    if (other) this.root.querySelector(".panel")?.scrollTo({ top: 0 });
  }

  // A field whose text is on its way keeps it; what a tool was set to stays set.
  private held(node: HTMLElement, underway: Set<string>): boolean {
    const tool = node.matches(".steppers, .chips") ? document.getElementById(node.dataset["for"] ?? "") : null;
    const path = (tool ?? node).dataset["path"];
    if (path && underway.has(JSON.stringify(JSON.parse(path)))) return true;
    if (node.dataset["keep"] === undefined || !(node instanceof HTMLSelectElement)) return false;
    return node.value !== "";
  }

  private changed(field: HTMLInputElement): void {
    const path = field.dataset["path"];
    if (path) this.actions.edit([{ do: "write", path: JSON.parse(path) as Path, text: field.value }], this.version);
    const shade = field.dataset["shadeColour"];
    if (shade) this.actions.edit([{ do: "put", path: ["shades", shade], value: field.value }], this.version);
  }

  private submitted(event: SubmitEvent): void {
    const form = event.target as HTMLFormElement;
    const changes = changesOf(form, new FormData(form, event.submitter));
    if (!changes) return;
    event.preventDefault();
    const kind = form.dataset["do"];
    const after = kind === "add" || kind === "duplicate" ? "focus" : kind === "drop" ? "none" : undefined;
    const version = this.version;
    const only = form.dataset["onlyIn"];
    if (only) void ask(t("Only {name} is in {options}. Remove both?", { name: form.dataset["name"] ?? "", options: only })).then((yes) => yes && this.actions.edit(changes, version, after));
    else if (changes.length) this.actions.edit(changes, version, after);
  }

  private clicked(event: MouseEvent): void {
    const link = (event.target as Element).closest<HTMLAnchorElement>("a.piece-tag");
    if (!link || event.metaKey || event.ctrlKey || event.shiftKey) return;
    event.preventDefault();
    const index = link.dataset["piece"];
    this.actions.choose(index === undefined ? null : Number(index), link.dataset["name"]);
  }
}

export function changesOf(form: HTMLFormElement, data: FormData): Change[] | null {
  const text = (name: string): string => String(data.get(name) ?? "");
  const piece = Number(text("piece"));
  if (form.id === "fields") return [];
  if (form.id === "take-out") return [{ do: "clear", path: JSON.parse(text("path")) as Path }];
  if (form.dataset["put"]) return [{ do: "put", path: JSON.parse(text("path")) as Path, value: JSON.parse(text("value")) as unknown }];
  switch (form.dataset["do"]) {
    case "add": {
      const [kind = "", design] = text("kind").split(":");
      return [{ do: "add", kind, ...(design ? { design } : {}) }];
    }
    case "swap":
      return [{ do: "swap", old: text("old"), new: text("new") }];
    case "duplicate":
    case "mirror":
    case "drop":
      return [{ do: form.dataset["do"], piece }];
    default:
      return null;
  }
}

function ask(question: string): Promise<boolean> {
  const box = document.getElementById("ask") as HTMLDialogElement;
  box.querySelector("h2")!.textContent = question;
  box.returnValue = "no";
  box.showModal();
  return new Promise((done) => box.addEventListener("close", () => done(box.returnValue === "yes"), { once: true }));
}
