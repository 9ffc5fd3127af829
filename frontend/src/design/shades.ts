// The job's shades: from the studio's stock, by colour, or from an inspiration picture.
import type { Fault, Tone } from "../answers";
import type { Change } from "./api_client";
import { withToken } from "../token";
import { t } from "../words";

type Edit = (changes: Change[]) => void;

const NEAR = 10; // CIEDE2000 up to which a balloon passes for the colour of a picture

export function armShades(side: HTMLElement, edit: Edit): void {
  side.addEventListener("click", (event) => {
    const button = (event.target as Element).closest<HTMLElement>("[data-shade-add], [data-shade-new], [data-shade-out], [data-pair-add]");
    if (!button) return;
    const { shadeAdd, colour, finish, shadeOut } = button.dataset;
    if (shadeOut) edit([{ do: "clear", path: ["shades", shadeOut] }]);
    else if (shadeAdd && colour) edit([put(shadeAdd, colour, finish)]);
    else if (button.dataset["pairAdd"] !== undefined) pair(button, edit);
    else byColour(button, edit);
  });
  side.addEventListener("change", (event) => {
    const field = event.target as HTMLInputElement;
    const old = field.dataset["shadeName"];
    if (old && field.value.trim() && field.value.trim() !== old) edit([{ do: "rename_shade", old, new: field.value.trim() }]);
    if (field.dataset["palette"] !== undefined && field.files?.[0]) void fromPicture(field, field.files[0]);
  });
}

function put(name: string, colour: string, finish?: string): Change {
  return { do: "put", path: ["shades", name], value: finish && finish !== "matte" ? { colour, finish } : colour };
}

/** A shade made of two balloons, named after both. */
function pair(button: HTMLElement, edit: Edit): void {
  const box = button.closest("[data-pair]");
  const inside = box?.querySelector<HTMLSelectElement>("[data-pair-inside]")?.value;
  const outside = box?.querySelector<HTMLSelectElement>("[data-pair-outside]")?.value;
  if (inside && outside) edit([{ do: "put", path: ["shades", `${inside} in ${outside}`], value: { inside, outside } }]);
}

function byColour(button: HTMLElement, edit: Edit): void {
  const box = button.closest("[data-by-colour]");
  const name = box?.querySelector<HTMLInputElement>("[data-new-name]");
  const colour = box?.querySelector<HTMLInputElement>("[data-new-colour]");
  if (!name || !colour) return;
  if (!name.value.trim()) { name.focus(); return; }
  edit([put(name.value.trim(), colour.value)]);
  name.value = "";
}

async function fromPicture(field: HTMLInputElement, file: File): Promise<void> {
  const list = field.closest("details")?.querySelector<HTMLElement>("[data-palette-found]");
  if (!list) return;
  const data = new FormData();
  data.append("file", file);
  const answer = await withToken((token) => fetch("/api/palette", { method: "POST", headers: { "x-desk-token": token }, body: data })).catch(() => null);
  const told: unknown = await answer?.json().catch(() => null);
  if (!answer?.ok || !Array.isArray(told)) {
    const fault = told as Partial<Fault> | null;
    list.replaceChildren(line(`${fault?.what ?? t("The picture could not be read.")} ${fault?.mend ?? t("Try another one.")}`));
    return;
  }
  list.replaceChildren(...(told as Tone[]).map(row));
}

function row(tone: Tone): HTMLElement {
  const item = document.createElement("li");
  const add = document.createElement("button");
  add.type = "button";
  add.className = "button small";
  Object.assign(add.dataset, { shadeAdd: tone.shade, colour: tone.shade_colour, finish: tone.finish });
  add.textContent = t("Add {name}", { name: tone.shade });
  const words = document.createElement("span");
  words.className = "quiet";
  const share = { share: Math.round(tone.share * 100) };
  words.textContent = tone.apart <= NEAR ? t("{share} % of the picture", share) : t("{share} % of the picture; no balloon in stock is close", share);
  item.append(dot(tone.colour), dot(tone.shade_colour), add, words);
  return item;
}

function dot(colour: string): HTMLElement {
  const made = document.createElement("span");
  made.className = "tone";
  made.style.background = colour;
  return made;
}

function line(text: string): HTMLElement {
  const item = document.createElement("li");
  item.textContent = text;
  return item;
}
