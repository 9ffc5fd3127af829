// Counts, money and findings under and beside the picture.
import type { FindingState, JobState } from "../answers";
import { locale, t } from "../words";

export function showFacts(tally: HTMLElement, state: JobState): void {
  tally.classList.remove("is-thinking");
  const totals = state.totals;
  if (!totals) {
    tally.replaceChildren(line(t("Count and price come back once the errors are fixed.")));
    return;
  }
  const money = (amount: string): string => {
    try {
      return new Intl.NumberFormat(locale, { style: "currency", currency: state.currency }).format(Number(amount));
    } catch {
      return `${state.currency} ${amount}`;
    }
  };
  const facts: [string, string, string][] = [
    ["balloons", t("Balloons"), totals.balloons.toLocaleString(locale)],
    ["hours", t("Hours"), hours(totals.hours)],
  ];
  if (totals.cost) facts.push(["cost", t("Cost"), money(totals.cost)]);
  if (totals.margin) facts.push(["margin", t("Margin"), money(totals.margin)]);
  if (totals.price) facts.push(["price", t("Price"), money(totals.price)]);
  tally.querySelector(".left-out")?.remove();
  const without = totals.left_out.length ? line(t("Without {names}: fix what is marked there.", { names: totals.left_out.join(", ") })) : null;
  if (without) without.className = "left-out";
  const known = [...tally.querySelectorAll<HTMLElement>("dd")];
  if (known.map((fact) => fact.dataset["fact"]).join() === facts.map(([key]) => key).join()) {
    // The same facts as before: only what became different is painted anew.
    known.forEach((fact, at) => {
      const value = facts[at]?.[2] ?? "";
      if (fact.textContent !== value) fact.textContent = value;
    });
    if (without) tally.append(without);
    return;
  }
  const list = document.createElement("dl");
  for (const [key, word, value] of facts) {
    const pair = document.createElement("div");
    if (key === "price") pair.className = "grand";
    const [term, fact] = [document.createElement("dt"), document.createElement("dd")];
    term.textContent = word;
    fact.textContent = value;
    fact.dataset["fact"] = key;
    pair.append(term, fact);
    list.append(pair);
  }
  tally.replaceChildren(list, ...(without ? [without] : []));
}

const SIGNS: Record<FindingState["severity"], [string, string, string]> = {
  error: [t("Error"), "M5 1h6l4 4v6l-4 4H5l-4-4V5z", "M8 4v5M8 11v1.5"],
  caution: [t("Caution"), "M8 1l7.5 14H.5z", "M8 6v4M8 12v1.3"],
  hint: [t("Hint"), "M8 1a7 7 0 1 1 0 14a7 7 0 0 1 0-14z", "M8 7v5M8 3.5V5"],
};

export function showFindings(list: HTMLElement, findings: FindingState[], go: (piece: number) => void): void {
  const told = JSON.stringify(findings);
  if (list.dataset["told"] === told) return;
  list.dataset["told"] = told;
  list.replaceChildren(...findings.map((finding) => row(finding, go)));
  if (!findings.length) {
    const nothing = document.createElement("li");
    nothing.className = "quiet";
    nothing.textContent = t("Nothing to fix.");
    list.append(nothing);
  }
}

function row(finding: FindingState, go: (piece: number) => void): HTMLElement {
  const item = document.createElement("li");
  item.className = `finding finding-${finding.severity}`;
  item.dataset["place"] = finding.place;
  const text = document.createElement("p");
  const what = document.createElement("strong");
  what.textContent = finding.what;
  text.append(what, ` ${finding.mend} `);
  if (finding.standard) {
    const rule = document.createElement("span");
    rule.className = "quiet";
    rule.textContent = `${finding.standard} `;
    text.append(rule);
  }
  const piece = /^pieces\[(\d+)\]/.exec(finding.place);
  if (piece) {
    const link = document.createElement("button");
    link.type = "button";
    link.className = "goto";
    link.textContent = t("Go there");
    link.addEventListener("click", () => go(Number(piece[1])));
    text.append(link);
  }
  item.append(sign(finding.severity), text);
  return item;
}

function sign(severity: FindingState["severity"]): SVGElement {
  const [word, outline, inner] = SIGNS[severity];
  const NS = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(NS, "svg");
  svg.setAttribute("viewBox", "0 0 16 16");
  svg.setAttribute("class", `sign sign-${severity}`);
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", word);
  for (const [path, name] of [[outline, ""], [inner, "in"]] as const) {
    const part = document.createElementNS(NS, "path");
    part.setAttribute("d", path);
    if (name) part.setAttribute("class", name);
    svg.append(part);
  }
  return svg;
}

function line(text: string): HTMLElement {
  const made = document.createElement("p");
  made.className = "quiet";
  made.textContent = text;
  return made;
}

function hours(value: number): string {
  const minutes = Math.round(value * 60);
  const [whole, rest] = [Math.floor(minutes / 60), minutes % 60];
  if (!whole) return `${rest} min`;
  return rest ? `${whole} h ${rest} min` : `${whole} h`;
}
