// The light: a photographer's studio made of formulas, so that highlights are sharp at every
// size, nothing is fetched, and a frame needs no shadow maps. All in decor axes, z up.

/** Uniforms every material shares; the theme writes them. */
export const STUDIO = /* glsl */ `
uniform vec3 paper;    // the floor, linear
uniform float ambient; // light of the room, 1 by day

// A soft box on the wall of the room: c towards it, t and b its axes, half its size.
float softbox(vec3 d, vec3 c, vec3 t, vec3 b, vec2 half_, float blur) {
  float f = dot(d, c);
  if (f <= 0.05) return 0.0;
  vec2 q = abs(vec2(dot(d, t), dot(d, b)) / f) - half_ + 0.06;
  float s = length(max(q, 0.0)) + min(max(q.x, q.y), 0.0) - 0.06;
  return smoothstep(blur, -blur, s);
}

float key(vec3 d, float blur) {
  return softbox(d, vec3(-0.5145, -0.6860, 0.5145), vec3(0.8000, -0.6000, 0.0), vec3(0.3087, 0.4116, 0.8575), vec2(0.30, 0.42), blur);
}

float boxes(vec3 d, float blur) {
  float b = max(blur, 0.02);
  float wide = 1.0 / (1.0 + 2.2 * b);
  float light = key(d, b);
  light += 0.42 * softbox(d, vec3(0.8081, -0.5051, 0.3030), vec3(0.5300, 0.8480, 0.0), vec3(-0.2570, 0.1606, 0.9530), vec2(0.10, 0.55), b);
  light += 0.55 * softbox(d, vec3(0.5547, 0.6934, 0.4600), vec3(-0.7809, 0.6247, 0.0), vec3(-0.2874, -0.3592, 0.8879), vec2(0.22, 0.50), b);
  light += 0.45 * softbox(d, vec3(-0.7428, 0.5571, 0.3714), vec3(-0.6000, -0.8000, 0.0), vec3(0.2971, -0.2228, 0.9285), vec2(0.12, 0.60), b);
  light += 0.50 * softbox(d, vec3(0.0, 0.0, 1.0), vec3(1.0, 0.0, 0.0), vec3(0.0, 1.0, 0.0), vec2(0.55, 0.40), b * 1.5);
  return light * wide;
}

// Light from a direction, as a mirror shows it.
vec3 room(vec3 d, float blur) {
  float edge = 0.05 + 0.6 * blur;
  vec3 wall = mix(vec3(0.60, 0.62, 0.66), vec3(0.93, 0.95, 1.0), smoothstep(-0.05, 0.95, d.z));
  vec3 floor_ = paper * mix(0.62, 0.9, smoothstep(0.0, -0.6, d.z));
  return mix(floor_, wall * ambient, smoothstep(-edge, edge, d.z + 0.02));
}

const vec3 KEY = vec3(-0.4650, -0.6200, 0.6325);
const vec3 FILL = vec3(0.7809, -0.4685, 0.4133);

// Light gathered over the half of the room a surface looks at; about 1 where it faces the key.
// open is the share of the sky that is free, z the height above the floor.
vec3 daylight(vec3 n, float open, float z) {
  float key = 0.5 + 0.5 * dot(n, KEY);
  key *= sqrt(key);
  float fill = 0.5 + 0.5 * dot(n, FILL);
  fill *= fill;
  float sky = 0.5 + 0.5 * n.z;
  float down = 0.5 - 0.5 * n.z;
  float near = mix(0.35, 1.0, smoothstep(0.0, 0.9, z));
  vec3 light = vec3(1.0, 0.985, 0.96) * 0.62 * key + vec3(0.93, 0.96, 1.0) * 0.16 * fill;
  light += vec3(0.96, 0.98, 1.0) * ambient * 0.34 * sky;
  light += paper * 0.30 * down * near;
  return light * open * 1.06;
}

// Linear light as the screen wants it: bright parts roll off, then the curve of sRGB, fitted by
// roots (within a thousandth), because powers are slow where there is no graphics card.
vec3 shown(vec3 c) {
  vec3 over = max(c - 0.8, 0.0);
  c = min(c, 0.8) + 0.2 * over / (over + 0.2);
  vec3 a = sqrt(max(c, 0.0));
  vec3 b = sqrt(a);
  vec3 d = sqrt(b);
  return 0.662002687 * a + 0.684122060 * b - 0.323583601 * d - 0.0225411470 * c;
}
`;
