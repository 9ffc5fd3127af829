// What things are painted with. Materials of one kind share one compiled program, and all share
// the uniforms of the room, which the theme writes.
import {
  AlwaysStencilFunc,
  CanvasTexture,
  Color,
  CustomBlending,
  DoubleSide,
  type IUniform,
  KeepStencilOp,
  NotEqualStencilFunc,
  OneFactor,
  OneMinusSrcAlphaFactor,
  ReplaceStencilOp,
  ShaderMaterial,
  Vector2,
} from "three";
import { BALLOON_FRAGMENT, BALLOON_VERTEX, FIXTURE_FRAGMENT, FIXTURE_VERTEX, OUTLINE_FRAGMENT } from "./latex";

export type Finish = "matte" | "pearl" | "metallic" | "clear" | "foil";
const CODES: Record<Finish, number> = { matte: 0, pearl: 1, metallic: 2, clear: 3, foil: 4 };

/** Uniforms that all share: one object each, so that writing one writes all. */
export interface Shared {
  paper: IUniform<Color>;
  ambient: IUniform<number>;
  pen: IUniform<Color>;
  frame: IUniform<Vector2>;
  width: IUniform<number>;
}

/** Outlines of words on a balloon, x and z in turn, in radii; null where the desk has no shapes. */
export type Letters = readonly (readonly number[])[] | null | undefined;

export type Pass = "paint" | "mask" | "line";

export class Materials {
  readonly shared: Shared = {
    paper: { value: new Color(0.95, 0.95, 0.94) },
    ambient: { value: 1 },
    pen: { value: new Color(0.03, 0.04, 0.38) },
    frame: { value: new Vector2(1, 1) },
    width: { value: 3 },
  };
  /** Materials were made that no frame has used yet. */
  fresh = false;
  private readonly all: ShaderMaterial[] = [];
  private readonly prints = new Map<string, CanvasTexture>();
  private readonly balloon = new Map<string, ShaderMaterial>();
  private readonly fixture = new Map<Pass, ShaderMaterial>();

  /** Material of all balloons in one finish with one print; each mesh sets its maps as it is drawn. */
  balloons(finish: Finish, mark: string | null, letters: Letters, pass: Pass = "paint"): ShaderMaterial {
    const key = pass === "paint" ? `${finish}|${mark ?? ""}` : pass;
    let made = this.balloon.get(key);
    if (!made) {
      made = this.makeBalloons(finish, mark, letters, pass);
      this.balloon.set(key, made);
    }
    return made;
  }

  private makeBalloons(finish: Finish, mark: string | null, letters: Letters, pass: Pass): ShaderMaterial {
    const words = mark !== null && mark.trim().toLowerCase() !== "dots";
    const made = new ShaderMaterial({
      defines: { FINISH: CODES[finish], MARK: mark === null ? 0 : words ? 2 : 1 },
      uniforms: { ...this.shared, around: { value: null } } as unknown as Record<string, IUniform>,
      vertexShader: BALLOON_VERTEX,
      fragmentShader: pass === "paint" ? BALLOON_FRAGMENT : OUTLINE_FRAGMENT,
    });
    if (pass === "paint" && words && mark !== null) made.uniforms.print = { value: this.print(mark, letters) };
    if (pass === "paint" && finish === "clear") seeThrough(made);
    return this.kept(outlining(made, pass));
  }

  /** Material of everything that is no balloon: colour, metal and blur come with the vertices. */
  fixtures(pass: Pass = "paint"): ShaderMaterial {
    let made = this.fixture.get(pass);
    if (!made) {
      made = new ShaderMaterial({
          uniforms: { ...this.shared } as unknown as Record<string, IUniform>,
        vertexShader: FIXTURE_VERTEX,
        fragmentShader: pass === "paint" ? FIXTURE_FRAGMENT : OUTLINE_FRAGMENT,
        side: DoubleSide,
      });
      this.fixture.set(pass, this.kept(outlining(made, pass)));
    }
    return made;
  }

  dispose(): void {
    for (const material of this.all) material.dispose();
    for (const texture of this.prints.values()) texture.dispose();
    this.all.length = 0;
  }

  private kept(material: ShaderMaterial): ShaderMaterial {
    this.all.push(material);
    this.fresh = true;
    return material;
  }

  private print(words: string, letters: Letters): CanvasTexture {
    let made = this.prints.get(words);
    if (!made) {
      made = new CanvasTexture(letters ? drawn(letters) : written(words));
      made.anisotropy = 4;
      this.prints.set(words, made);
    }
    return made;
  }
}

/** Clear latex lets through what is behind, and adds its own haze and shine. */
function seeThrough(material: ShaderMaterial): void {
  material.transparent = true;
  material.side = DoubleSide;
  material.forceSinglePass = false; // far side first, then the near one
  material.depthWrite = false;
  material.blending = CustomBlending;
  material.blendSrc = OneFactor;
  material.blendDst = OneMinusSrcAlphaFactor;
}

/** An outline in two passes: mark where the piece is, then draw it a little larger around that. */
function outlining(material: ShaderMaterial, pass: Pass): ShaderMaterial {
  if (pass === "paint") return material;
  material.depthTest = material.depthWrite = false;
  material.stencilWrite = true;
  material.stencilRef = 1;
  material.transparent = true; // after everything else
  material.side = DoubleSide;
  material.defines = { ...material.defines, OUTLINE: 1 };
  material.stencilFail = material.stencilZFail = KeepStencilOp;
  if (pass === "mask") {
    material.colorWrite = false;
    material.stencilFunc = AlwaysStencilFunc;
    material.stencilZPass = ReplaceStencilOp;
    material.uniforms.width = { value: 0 };
  } else {
    material.stencilFunc = NotEqualStencilFunc;
    material.stencilZPass = KeepStencilOp;
  }
  material.forceSinglePass = true;
  return material;
}

/** Outlined letters, white on black, where the shader looks for them: 1.5 radii are 512 pixels. */
function drawn(letters: NonNullable<Letters>): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = 512;
  const pen = canvas.getContext("2d");
  if (!pen) return canvas;
  pen.fillStyle = "#000";
  pen.fillRect(0, 0, 512, 512);
  pen.fillStyle = "#fff";
  pen.beginPath();
  for (const ring of letters) {
    for (let k = 0; k + 1 < ring.length; k += 2) {
      const [x, y] = [256 + ((ring[k] ?? 0) * 512) / 1.5, 256 - ((ring[k + 1] ?? 0) * 512) / 1.5];
      if (k === 0) pen.moveTo(x, y);
      else pen.lineTo(x, y);
    }
    pen.closePath();
  }
  pen.fill("evenodd");
  return canvas;
}

/** A few words, white on black, as large as fits the face of a balloon. */
function written(words: string): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = 512;
  const pen = canvas.getContext("2d");
  if (!pen) return canvas;
  pen.fillStyle = "#000";
  pen.fillRect(0, 0, 512, 512);
  pen.fillStyle = "#fff";
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  const lines = wrapped(words, 11).slice(0, 4);
  pen.font = "700 100px Trebuchet MS, Verdana, sans-serif";
  const widest = Math.max(...lines.map((line) => pen.measureText(line).width), 1);
  const size = Math.min((100 * 430) / widest, 150, 400 / (1.1 * lines.length));
  pen.font = `700 ${size}px Trebuchet MS, Verdana, sans-serif`;
  lines.forEach((line, k) => { pen.fillText(line, 256, 256 + (k - (lines.length - 1) / 2) * 1.1 * size); });
  return canvas;
}

function wrapped(words: string, most: number): string[] {
  const lines: string[] = [];
  for (const word of words.trim().split(/\s+/)) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + word.length < most) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines.length ? lines : [""];
}
