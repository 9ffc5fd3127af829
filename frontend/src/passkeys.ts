// Passkeys: made on one's own page, used at the door. Browsers do the secret part.
import { token } from "./token";

const button = document.querySelector<HTMLButtonElement>("[data-passkey]");
const wrong = document.querySelector<HTMLElement>("[data-passkey-wrong]");

async function sent(address: string, body: unknown): Promise<Record<string, unknown>> {
  const answer = await fetch(address, {
    method: "POST",
    headers: { "content-type": "application/json", "x-desk-token": token() },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(String(answer.status));
  return (await answer.json()) as Record<string, unknown>;
}

async function make(options: string): Promise<string> {
  const publicKey = PublicKeyCredential.parseCreationOptionsFromJSON(JSON.parse(options) as PublicKeyCredentialCreationOptionsJSON);
  const made = (await navigator.credentials.create({ publicKey })) as PublicKeyCredential;
  const name = document.querySelector<HTMLInputElement>("[data-passkey-name]")?.value ?? "";
  return String((await sent("/account/passkeys", { credential: made.toJSON(), name }))["to"]);
}

async function enter(): Promise<string> {
  const options = await sent("/sign-in/passkey/options", {});
  const publicKey = PublicKeyCredential.parseRequestOptionsFromJSON(options as unknown as PublicKeyCredentialRequestOptionsJSON);
  const signed = (await navigator.credentials.get({ publicKey })) as PublicKeyCredential;
  return String((await sent("/sign-in/passkey", signed.toJSON()))["to"]);
}

if (button && window.PublicKeyCredential && "parseCreationOptionsFromJSON" in PublicKeyCredential) {
  button.hidden = false;
  button.addEventListener("click", () => {
    if (wrong) wrong.hidden = true;
    const options = button.dataset["options"];
    (options === undefined ? enter() : make(options)).then(
      (to) => location.assign(to),
      () => {
        if (wrong) wrong.hidden = false;
      },
    );
  });
}
