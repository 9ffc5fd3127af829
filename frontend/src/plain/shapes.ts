// Unit meshes from the desk, each fetched once.
import { BufferAttribute, BufferGeometry } from "three";
import { floats, words } from "../bench/types";

const known = new Map<string, Promise<BufferGeometry>>();

export function shape(name: string): Promise<BufferGeometry> {
  let found = known.get(name);
  if (!found) {
    found = load(name);
    known.set(name, found);
    found.catch(() => known.delete(name));
  }
  return found;
}

async function load(name: string): Promise<BufferGeometry> {
  const answer = await fetch(`/api/shapes/${encodeURIComponent(name)}`);
  if (!answer.ok) throw new Error(`no shape ${name}`);
  const mesh = (await answer.json()) as { vertices: string; normals: string; faces: string };
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(floats(mesh.vertices), 3));
  geometry.setAttribute("normal", new BufferAttribute(floats(mesh.normals), 3));
  geometry.setIndex(new BufferAttribute(words(mesh.faces), 1));
  return geometry;
}
