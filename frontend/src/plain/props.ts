// What is no balloon: poles, bases, ties, sleeves; and a person and a door for scale.
import {
  BoxGeometry, CapsuleGeometry, CatmullRomCurve3, Color, CylinderGeometry, Group, type Material, Mesh,
  MeshStandardMaterial, SphereGeometry, TubeGeometry, Vector3,
} from "three";
import type { Picture } from "../bench/types";

const steel = new MeshStandardMaterial({ color: 0x8d9096, roughness: 0.45, metalness: 0.4 });
const dark = new MeshStandardMaterial({ color: 0x3a3c42, roughness: 0.7 });
const grey = new MeshStandardMaterial({ color: 0xa7a9b0, roughness: 0.95 });
const cloths = new Map<string, Material>();

function cloth(colour: string): Material {
  let found = cloths.get(colour);
  if (!found) cloths.set(colour, (found = new MeshStandardMaterial({ color: new Color(colour), roughness: 0.75 })));
  return found;
}

export function props(picture: Picture): Group {
  const group = new Group();
  for (const part of picture.hardware) {
    const at = part.path[0];
    if (part.path.length > 1) group.add(rod(part.path, Math.max(part.across, 0.008) / 2, steel));
    else if (at && part.across > 0) group.add(upright(at, part.across / 2, Math.max(part.height, 0.01), dark));
  }
  for (const strand of picture.strands) {
    if (strand.path.length > 1) group.add(rod(strand.path, Math.max(strand.across, 0.004) / 2, cloth(strand.colour)));
  }
  for (const fabric of picture.fabrics) {
    const foot = [fabric.at[0] ?? 0, fabric.at[1] ?? 0, fabric.from];
    group.add(upright(foot, fabric.radius, fabric.to - fabric.from, cloth(fabric.colour)));
  }
  return group;
}

function rod(path: number[][], radius: number, material: Material): Mesh {
  const points = path.map(([x, y, z]) => new Vector3(x, y, z));
  const curve = new CatmullRomCurve3(points, false, "centripetal");
  const mesh = new Mesh(new TubeGeometry(curve, Math.max(2, (points.length - 1) * 2), radius, 8), material);
  mesh.castShadow = true;
  return mesh;
}

function upright(foot: number[], radius: number, height: number, material: Material): Mesh {
  const mesh = new Mesh(new CylinderGeometry(radius, radius, height, 32), material);
  mesh.rotation.x = Math.PI / 2; // the cylinder's own axis is y; ours is z
  mesh.position.set(foot[0] ?? 0, foot[1] ?? 0, (foot[2] ?? 0) + height / 2);
  mesh.castShadow = true;
  return mesh;
}

// 1.70 m tall.
export function person(): Group {
  const group = new Group();
  const add = (geometry: SphereGeometry | CapsuleGeometry, x: number, z: number, tilt = 0): void => {
    const mesh = new Mesh(geometry, grey);
    mesh.rotation.x = Math.PI / 2;
    mesh.rotation.z = tilt;
    mesh.position.set(x, 0, z);
    mesh.castShadow = true;
    group.add(mesh);
  };
  add(new SphereGeometry(0.105, 24, 16), 0, 1.595);
  add(new CapsuleGeometry(0.155, 0.36, 6, 20), 0, 1.14);
  for (const side of [-1, 1]) {
    add(new CapsuleGeometry(0.072, 0.72, 4, 14), side * 0.085, 0.44);
    add(new CapsuleGeometry(0.045, 0.52, 4, 12), side * 0.215, 1.08, side * -0.09);
  }
  return group;
}

// A leaf of 0.90 m by 2.03 m in its frame.
export function door(): Group {
  const group = new Group();
  const bar = (wide: number, high: number, x: number, z: number): void => {
    const mesh = new Mesh(new BoxGeometry(wide, 0.06, high), grey);
    mesh.position.set(x, 0, z);
    mesh.castShadow = true;
    group.add(mesh);
  };
  bar(0.07, 2.1, -0.485, 1.05);
  bar(0.07, 2.1, 0.485, 1.05);
  bar(1.04, 0.07, 0, 2.065);
  const leaf = new Mesh(new BoxGeometry(0.9, 0.035, 2.03), new MeshStandardMaterial({ color: 0xc9cbd0, roughness: 0.9 }));
  leaf.position.set(0, 0, 1.015);
  group.add(leaf);
  return group;
}
