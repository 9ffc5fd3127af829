// The one interface between the bench and whatever draws the decor in space.
import type { Stand } from "../bench/layout";

export type Eye = "front" | "side" | "top" | "eye";

export interface SceneView {
  show(stands: Stand[], chosen: number | null): Promise<void>;
  look(from: Eye): void;
  scale(what: "person" | "door", on: boolean): void;
  picked(call: (index: number) => void): void;
  resize(): void;
  dispose(): void;
}
