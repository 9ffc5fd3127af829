// A sentence for those who do not see the picture.
import type { Shown } from "./types";

const FROM: Record<Shown["view"], string> = {
  front: "from the front",
  side: "from the side",
  top: "from above",
  "three-quarter": "from the front and a little to the right",
  eye: "at eye level, from the floor",
  free: "turned by hand",
};

export function inWords(shown: Shown): string {
  if (!shown.pieces.length) return "An empty floor.";
  const named = shown.pieces.map((piece) => `${piece.count > 1 ? `${piece.count} × ` : ""}${piece.name}, ${piece.balloons} balloons`);
  const chosen = shown.chosen === null ? "" : ` Chosen: ${shown.chosen}.`;
  return `The decor ${FROM[shown.view]}: ${named.join("; ")}.${chosen}`;
}
