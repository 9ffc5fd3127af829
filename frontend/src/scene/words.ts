// A sentence for those who do not see the picture.
import { t } from "../words";
import type { Shown } from "./types";

const from = (view: Shown["view"]): string =>
  ({
    front: t("from the front"),
    side: t("from the side"),
    top: t("from above"),
    "three-quarter": t("from the front and a little to the right"),
    eye: t("at eye level, from the floor"),
    free: t("turned by hand"),
  })[view];

export function inWords(shown: Shown): string {
  if (!shown.pieces.length) return t("An empty floor.");
  const named = shown.pieces.map(({ count, name, balloons }) => t("{name}, {n} balloons", { name: count > 1 ? `${count} × ${name}` : name, n: balloons }));
  const decor = t("The decor {from}: {pieces}.", { from: from(shown.view), pieces: named.join("; ") });
  return shown.chosen === null ? decor : `${decor} ${t("Chosen: {name}.", { name: shown.chosen })}`;
}
