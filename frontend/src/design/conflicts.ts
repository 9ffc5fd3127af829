// A change that was refused because somebody else was first: both values stay in sight until one
// of them is picked.
import type { Rival } from "../answers";
import type { ApiError } from "./api_client";
import type { Request } from "./job_store";

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
      button("Keep mine", "accent", () => {
        close();
        again({ ...request, over: [...(request.over ?? []), ...problem.others] });
      }),
    );
  }
  buttons.append(button("Take theirs", "", close));
  box.append(list, buttons);
  host.append(box);
}

function row(rival: Rival): HTMLElement {
  const item = document.createElement("li");
  const what = document.createElement("strong");
  what.textContent = rival.what;
  item.append(what, ": ", `${rival.actor} ${rival.theirs === null ? "changed it" : `wrote ${rival.theirs}`}`);
  if (rival.mine !== null) item.append(`, you wrote ${rival.mine}`);
  item.append(".");
  return item;
}

function button(text: string, style: string, act: () => void): HTMLButtonElement {
  const made = document.createElement("button");
  made.type = "button";
  made.className = `button small ${style}`;
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}
