// The token that every write carries. Whoever signs in anew, be it in another tab, is given another
// one, and a page that stayed open takes it over.
const META = 'meta[name="desk-token"]';

export function token(): string {
  return document.querySelector<HTMLMetaElement>(META)?.content ?? "";
}

/** A write; once more where the desk refused it and gives this browser another token by now. */
export async function withToken(send: (token: string) => Promise<Response>): Promise<Response> {
  const answer = await send(token());
  return answer.status === 403 && (await renewed()) ? send(token()) : answer;
}

async function renewed(): Promise<boolean> {
  const answer = await fetch(location.href).catch(() => null);
  const given = answer?.ok ? /name="desk-token" content="(\w+)"/.exec(await answer.text())?.[1] : undefined;
  const meta = document.querySelector<HTMLMetaElement>(META);
  if (!meta || given === undefined || given === meta.content) return false;
  meta.content = given;
  for (const field of document.querySelectorAll<HTMLInputElement>('input[name="token"]')) field.value = given;
  return true;
}
