// A change that was refused because somebody else was first: both values stay in sight until one
// of them is picked.
import type { Rival } from "../answers";
import type { ApiError } from "./api_client";
import type { Request } from "./job_store";
import { t } from "../words";

export function showConflict(host: HTMLElement, problem: ApiError, request: Request, again: (request: Request) => void): void {
  const box = document.createElement("div");
  box.className = "conflict";
  const list = document.createElement("ul");
  list.append(...problem.rivals.map(row));
  const buttons = document.createElement("div");
  buttons.className = "row";
  const close = (): void => box.remove();
  if (problem.rivals.every((rival) => rival.can_keep)) {
    buttons.append(
      button(t("Keep mine"), "accent", () => {
        close();
        again({ ...request, over: [...(request.over ?? []), ...problem.others] });
      }),
    );
  }
  buttons.append(button(t("Take theirs"), "", close));
  box.append(list, buttons);
  host.append(box);
}

function row(rival: Rival): HTMLElement {
  const item = document.createElement("li");
  const what = document.createElement("strong");
  what.textContent = rival.what;
  item.append(what, ": ", did(rival));
  return item;
}

function did({ actor, theirs, mine }: Rival): string {
  if (theirs === null) return mine === null ? t("{actor} changed it.", { actor }) : t("{actor} changed it, you wrote {mine}.", { actor, mine });
  return mine === null ? t("{actor} wrote {theirs}.", { actor, theirs }) : t("{actor} wrote {theirs}, you wrote {mine}.", { actor, theirs, mine });
}

function button(text: string, style: string, act: () => void): HTMLButtonElement {
  const made = document.createElement("button");
  made.type = "button";
  made.className = `button small ${style}`;
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}
