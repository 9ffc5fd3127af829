// The 3D view: true balloons on a sheet of graph paper. `mountScene` is the front door.
import { mount } from "./view";
import type { Scene, SceneOptions } from "./types";

export type * from "./types";
export { NoWebGL } from "./view";

/**
 * Put the view into a host, which keeps whatever else stands in it.
 *
 * Fails with `NoWebGL` where the browser cannot draw in three dimensions; the host is left as it was.
 */
export function mountScene(host: HTMLElement, options: SceneOptions): Promise<Scene> {
  return mount(host, options);
}
