// Talking to the desk: requests as values, mishaps in words.
import type { Conflict, Edit, JobState, Put, Rival } from "../answers";
import { withToken } from "../token";
import { t } from "../words";

/** One thing a hand changed. */
export type Change = Edit["changes"][number];

/** Where a key stands in the job's file. */
export type Path = Put["path"];

export class ApiError extends Error {
  constructor(
    readonly what: string,
    readonly mend: string,
    readonly status: number,
    readonly rivals: Rival[] = [],
    readonly others: number[] = [],
  ) {
    super(what);
  }
}

export async function post(address: string, body: unknown): Promise<JobState> {
  let answer: Response;
  try {
    answer = await withToken((token) =>
      fetch(address, {
        method: "POST",
        headers: { "content-type": "application/json", "x-desk-token": token },
        body: JSON.stringify(body),
      }),
    );
  } catch {
    throw new ApiError(t("The desk does not answer."), t("Your change was not saved; try again."), 0);
  }
  const told: unknown = await answer.json().catch(() => ({}));
  if (!answer.ok) {
    const fault = told as Partial<Conflict>;
    throw new ApiError(fault.what ?? t("That did not work."), fault.mend ?? t("Load the page again."), answer.status, fault.rivals, fault.others);
  }
  return told as JobState;
}

export async function text(address: string, signal: AbortSignal): Promise<string> {
  const answer = await fetch(address, { signal });
  if (!answer.ok) throw new ApiError(t("The fields could not be loaded."), t("They are asked for again in a moment."), answer.status);
  return answer.text();
}
