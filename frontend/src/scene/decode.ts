// Numbers packed in base64 → typed arrays.
import type { PictureState } from "../answers";

function bytes(text: string): ArrayBuffer {
  const raw = atob(text);
  const out = new Uint8Array(raw.length);
  for (let k = 0; k < raw.length; k += 1) out[k] = raw.charCodeAt(k);
  return out.buffer;
}

export const floats = (text: string): Float32Array => new Float32Array(bytes(text));
export const shorts = (text: string): Int16Array => new Int16Array(bytes(text));
export const indices = (text: string): Uint16Array => new Uint16Array(bytes(text));

/** The balloons of a piece, one row each: (N, 3) centre and axis, (N,) the rest. */
export interface Rows {
  count: number;
  centre: Float32Array;
  axis: Float32Array;
  radius: Float32Array;
  stock: Int16Array;
  shade: Int16Array;
  layer: Int16Array;
  slot: Int16Array;
}

export function rows(picture: PictureState): Rows {
  const radius = floats(picture.radius);
  return {
    count: radius.length,
    centre: floats(picture.centre),
    axis: floats(picture.axis),
    radius,
    stock: shorts(picture.stock),
    shade: shorts(picture.shade),
    layer: shorts(picture.layer),
    slot: shorts(picture.slot),
  };
}

/** "#rrggbb" → linear light (IEC 61966-2-1). */
export function linear(colour: string): [number, number, number] {
  const whole = Number.parseInt(colour.slice(1), 16);
  const part = (shift: number): number => {
    const v = ((whole >> shift) & 255) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  };
  return Number.isFinite(whole) ? [part(16), part(8), part(0)] : [0.5, 0.5, 0.5];
}
