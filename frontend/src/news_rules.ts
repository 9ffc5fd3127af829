// Which news a page wants to hear, and when it must not be drawn anew under somebody's hands.

export interface News { tables: string[]; jobs: string[]; everything: boolean }

/** Whether news concern a page that shows these tables, or this job. */
export function concerns(news: News, tables: ReadonlySet<string>, job: string): boolean {
  if (news.everything) return true;
  if (job && news.jobs.includes(job)) return true;
  return news.tables.some((table) => tables.has(table));
}

type Field = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

function isChanged(field: Field): boolean {
  if (field.closest("[role=search]")) return false; // a search is in the address
  if (field instanceof HTMLSelectElement) {
    const given = [...field.options].some((option) => option.defaultSelected);
    return [...field.options].some((option, at) => option.selected !== (given ? option.defaultSelected : at === 0));
  }
  if (field instanceof HTMLInputElement) {
    if (field.type === "checkbox" || field.type === "radio") return field.checked !== field.defaultChecked;
    if (field.type === "file") return Boolean(field.files?.length);
    if (field.type === "hidden") return false;
  }
  return field.value !== field.defaultValue;
}

/** Whether somebody is in the middle of something: a field changed, or the pen in one. */
export function isDirty(main: HTMLElement, active: Element | null): boolean {
  if (active && main.contains(active) && active.matches("input:not([type=search]), textarea, select")) return true;
  if (main.querySelector("dialog[open], :popover-open")) return true;
  return [...main.querySelectorAll<Field>("input, textarea, select")].some(isChanged);
}
