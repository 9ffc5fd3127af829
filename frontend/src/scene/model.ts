// A piece as the browser holds it: built once per key, shared by all its copies.
import { type BufferGeometry, Group, Mesh } from "three";
import { type Balloons, build, type Draw, shapeNames } from "./balloons";
import { rows, type Rows } from "./decode";
import { extentOf } from "./extent";
import { byHand } from "./hand";
import { fixtures } from "./hardware";
import type { Materials, Pass } from "./materials";
import type { Extent } from "./place";
import { FINEST, type Level, type Shape, type Shapes } from "./shapes";
import type { PictureState } from "../answers";
import type { SceneData } from "./types";

export class Model {
  readonly picture: PictureState;
  readonly rows: Rows;
  readonly extent: Extent;
  readonly balloons: Balloons;
  private readonly fixtures: BufferGeometry | null;
  private readonly materials: Materials;

  private constructor(picture: PictureState, shapes: Map<string, Shape>, materials: Materials) {
    this.picture = picture;
    this.materials = materials;
    this.rows = rows(picture);
    this.extent = extentOf(picture, this.rows);
    const soft = (row: number): boolean => picture.stocks[this.rows.stock[row] ?? 0]?.shape.startsWith("pear") ?? false;
    this.balloons = build(picture, byHand(this.rows, soft), shapes);
    this.fixtures = fixtures(picture, this.balloons.balls);
  }

  static async of(sent: PictureState, shades: SceneData["shades"], shapes: Shapes, materials: Materials): Promise<Model> {
    const picture = { ...sent, shades: sent.shades.map((shade) => ({ ...shade, inner: innerColour(sent, shade.inner, shades) })) };
    const names = shapeNames(picture);
    const found = await Promise.all(names.map((name) => shapes.get(name)));
    return new Model(picture, new Map(found.map((shape, k) => [names[k] ?? "", shape])), materials);
  }

  /** One copy, drawn in a pass. */
  copy(pass: Pass): Group {
    const group = new Group();
    for (const draw of this.balloons.draws) {
      const material = this.materials.balloons(draw.finish, draw.mark, draw.letters, pass);
      const mesh = new Mesh(draw.levels[draw.big ? FINEST : FINEST - 1], material);
      mesh.userData.draw = draw;
      mesh.onBeforeRender = () => {
        const maps = material.uniforms.around;
        if (!maps || maps.value === this.balloons.around.map) return;
        maps.value = this.balloons.around.map;
        material.uniformsNeedUpdate = true;
      };
      group.add(mesh);
    }
    if (this.fixtures) group.add(new Mesh(this.fixtures, this.materials.fixtures(pass)));
    group.traverse((part) => {
      part.matrixAutoUpdate = part === group;
      part.renderOrder = pass === "paint" ? 0 : pass === "mask" ? 10 : 11;
    });
    return group;
  }

  dispose(): void {
    for (const draw of this.balloons.draws) {
      for (const geometry of draw.levels) {
        // the shape's own mesh is shared and stays; only this piece's rows go
        geometry.deleteAttribute("position").deleteAttribute("normal").setIndex(null);
        geometry.dispose();
      }
    }
    this.balloons.around.map.dispose();
    this.fixtures?.dispose();
  }
}

/** Draw what hangs under a group on meshes of a fineness. */
export function refine(group: Group, level: Level): void {
  group.traverse((part) => {
    const draw = part.userData.draw as Draw | undefined;
    const geometry = draw?.levels[Math.min(level + (draw.big ? 1 : 0), FINEST)];
    if (geometry && part instanceof Mesh) part.geometry = geometry;
  });
}

/** The colour of a balloon inside a clear one, by its shade's name; null where none is known. */
function innerColour(picture: PictureState, name: string | null, shades: SceneData["shades"]): string | null {
  if (name === null || name.startsWith("#")) return name;
  return shades?.[name]?.colour ?? picture.shades.find((shade) => shade.name === name)?.colour ?? null;
}
