// The venue's door: jambs and head round the opening, for decor that stands beside it.
import { BoxGeometry, Group, Mesh, MeshBasicMaterial } from "three";
import type { DoorState } from "../answers";

const FRAME = 0.07; // how wide the frame is drawn [m]
const TONE = 0x8a837a;

export class Doorway {
  readonly group = new Group();
  private readonly material = new MeshBasicMaterial({ color: TONE });

  show(door: DoorState | null): void {
    this.clear();
    if (!door) return;
    const { width, height } = door;
    const side = (width + FRAME) / 2;
    this.beam(-side, height / 2, FRAME, height);
    this.beam(side, height / 2, FRAME, height);
    this.beam(0, height + FRAME / 2, width + 2 * FRAME, FRAME);
    this.group.position.set(door.x, door.y, 0);
    this.group.rotation.z = door.turn;
  }

  private beam(x: number, z: number, wide: number, high: number): void {
    const mesh = new Mesh(new BoxGeometry(wide, FRAME, high), this.material);
    mesh.position.set(x, 0, z);
    this.group.add(mesh);
  }

  private clear(): void {
    for (const mesh of this.group.children) if (mesh instanceof Mesh) (mesh.geometry as BoxGeometry).dispose();
    this.group.clear();
  }

  dispose(): void {
    this.clear();
    this.material.dispose();
  }
}
