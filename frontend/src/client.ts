// The client's page: decor in 3D, turned round in the page or seen in one's own room at true scale.
// The viewer is large, so it is fetched only when somebody asks for it.
import type { ModelViewerElement } from "@google/model-viewer";

document.addEventListener(
  "toggle",
  (event) => {
    const box = event.target as HTMLDetailsElement;
    const solid = box.dataset?.["solid"];
    if (!solid || !box.open || box.querySelector("model-viewer")) return;
    void show(box, solid);
  },
  true,
);

async function show(box: HTMLDetailsElement, solid: string): Promise<void> {
  await import("@google/model-viewer/dist/model-viewer.min.js");
  const viewer = document.createElement("model-viewer") as ModelViewerElement;
  for (const [name, value] of Object.entries({
    src: `${solid}.glb`,
    "ios-src": `${solid}.usdz`,
    alt: box.dataset["alt"] ?? "",
    ar: "",
    "ar-modes": "webxr scene-viewer quick-look",
    "ar-scale": "fixed", // as large as it will be
    "camera-controls": "",
    "touch-action": "pan-y",
    "shadow-intensity": "1",
    "interaction-prompt": "none",
  }))
    viewer.setAttribute(name, value);
  const room = document.createElement("button");
  room.slot = "ar-button";
  room.type = "button";
  room.className = "button small accent in-room";
  room.textContent = box.dataset["room"] ?? "";
  room.hidden = true; // until the phone says it can
  viewer.addEventListener("load", () => (room.hidden = !viewer.canActivateAR));
  viewer.append(room);
  box.append(viewer);
}
