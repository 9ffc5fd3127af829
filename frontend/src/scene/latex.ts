// The two stages that draw balloons: pressing and grooves per vertex, skin and shine per pixel.
import { LINE, NEIGHBOURS } from "./neighbours";
import { STUDIO } from "./studio";

const GROW = /* glsl */ `
#ifdef OUTLINE
uniform vec2 frame;   // size of the picture in pixels
uniform float width;  // of the outline in pixels
vec4 grown(vec4 at, vec3 n) {
  vec2 way = (projectionMatrix * viewMatrix * vec4(n, 0.0)).xy * frame;
  float size = length(way);
  if (size > 1e-6) at.xy += way / size * width * 2.0 / frame * at.w;
  return at;
}
#endif
`;

export const BALLOON_VERTEX = /* glsl */ `
in vec4 place;  // centre and radius
in vec4 turn;   // quaternion
in vec3 tint;   // colour, linear
in float row;   // in the table of neighbours, -1 for none
uniform highp sampler2D around;
out vec3 vNormal;
out vec3 vPlace;
out vec3 vTint;
out vec3 vLocal;
out vec4 vNear; // light from neighbours, share of free sky
${GROW}
vec3 turned(vec4 q, vec3 v) { return v + 2.0 * cross(q.xyz, cross(q.xyz, v) + q.w * v); }

void main() {
  vec3 p = turned(turn, position);
  vec3 n = turned(turn, normal);
  float open = 1.0;
  vec3 near = vec3(0.0);
  if (row >= 0.0) {
    int r = int(row + 0.5);
    ivec2 at = ivec2((r % ${LINE}) * ${NEIGHBOURS * 2}, r / ${LINE});
    // Where two press together the skin stops at the plane of the circle they share, with a soft edge.
    for (int k = 0; k < ${NEIGHBOURS}; k++) {
      vec4 other = texelFetch(around, at + ivec2(2 * k, 0), 0);
      if (other.w <= 0.0) break;
      float h = texelFetch(around, at + ivec2(2 * k + 1, 0), 0).w;
      if (h >= 1.0) continue;
      vec3 way = normalize(other.xyz);
      float s = dot(p, way);
      float soft = min(0.14, 0.8 * (1.0 - h) + 0.01);
      float blend = clamp(0.5 + 0.5 * (h - s) / soft, 0.0, 1.0);
      p += way * (h + (s - h) * blend - soft * blend * (1.0 - blend) - s);
      float lean = dot(n, way);
      n = normalize(blend * (n - lean * way) + lean * way + 1e-5 * n);
    }
#ifndef OUTLINE
    for (int k = 0; k < ${NEIGHBOURS}; k++) {
      vec4 other = texelFetch(around, at + ivec2(2 * k, 0), 0);
      if (other.w <= 0.0) break;
      vec3 colour = texelFetch(around, at + ivec2(2 * k + 1, 0), 0).rgb;
      vec3 d = other.xyz - p;
      float l = max(length(d), 1e-4);
      float far = max(l / other.w, 1.0);
      float cover = clamp(0.5 * (dot(n, d) / l * far + 1.0) / (far * far), 0.0, 1.0);
      cover *= sqrt(cover);
      near += colour * cover * open;
      open *= 1.0 - 0.94 * cover;
    }
#endif
  }
  vec4 world = modelMatrix * vec4(place.xyz + p * place.w, 1.0);
  vPlace = world.xyz;
  vNormal = mat3(modelMatrix) * n;
  vTint = tint;
  vLocal = position;
  vNear = vec4(near, open);
  gl_Position = projectionMatrix * viewMatrix * world;
#ifdef OUTLINE
  gl_Position = grown(gl_Position, vNormal);
#endif
}
`;

/** FINISH: 0 matte, 1 pearl, 2 metallic, 3 clear, 4 foil. MARK: 1 dots, 2 words. */
export const BALLOON_FRAGMENT = /* glsl */ `
in vec3 vNormal;
in vec3 vPlace;
in vec3 vTint;
in vec3 vLocal;
in vec4 vNear;
${STUDIO}
#if MARK == 2
uniform sampler2D print;
#endif

#if MARK > 0
vec3 printed(vec3 skin) {
  vec3 ink = mix(vec3(0.98), vec3(0.03), step(0.35, dot(skin, vec3(0.2126, 0.7152, 0.0722))));
#if MARK == 1
  vec3 d = normalize(vLocal);
  float best = -1.0;
  for (int k = 0; k < 46; k++) {
    float z = 1.0 - 2.0 * (float(k) + 0.5) / 46.0;
    float w = sqrt(1.0 - z * z);
    float a = 2.3999632 * float(k);
    best = max(best, dot(d, vec3(w * cos(a), w * sin(a), z)));
  }
  float away = acos(clamp(best, -1.0, 1.0));
  float soft = fwidth(away) + 1e-4;
  return mix(skin, ink, 0.82 * smoothstep(0.15 + soft, 0.15 - soft, away));
#else
  vec2 uv = vec2(vLocal.x, vLocal.z) / 1.5 + 0.5;
  float on = vLocal.y < 0.0 && all(greaterThan(uv, vec2(0.0))) && all(lessThan(uv, vec2(1.0))) ? 1.0 : 0.0;
  return mix(skin, ink, 0.9 * on * texture(print, uv).r);
#endif
}
#endif

void main() {
  vec3 v = normalize(cameraPosition - vPlace);
  vec3 n = normalize(vNormal);
  if (!gl_FrontFacing) n = -n;
  float nv = clamp(dot(n, v), 0.0, 1.0);
  float open = vNear.a;
  vec3 r = reflect(-v, n);
  float rim = pow(1.0 - nv, 5.0);
  float shine = open * open;   // a groove mirrors its neighbours, not the room
  vec3 skin = vTint;
#if MARK > 0
  skin = printed(skin);
#endif
  vec3 light = daylight(n, open, vPlace.z);
  // What a neighbour throws back is its own colour, lit about as well as this spot.
  vec3 bounce = vNear.rgb * (0.10 + 0.34 * open);
  vec3 colour;
  float alpha = 1.0;
#if FINISH == 0 || FINISH == 1
  // Rubber is thick at the neck and crown, and a slanting look goes through more of it.
  float thick = 1.0 + 0.55 * (1.0 - nv) * (1.0 - nv) + 0.5 * smoothstep(-0.75, -1.2, vLocal.z);
  vec3 deep = pow(skin, vec3(thick));
  // Light that comes in on the far side glows through.
  vec3 glow = skin * deep * daylight(-n, 1.0, vPlace.z + 0.3) * 0.14 * (0.35 + 0.65 * open);
  colour = deep * (light + bounce) * 0.93 + glow;
#if FINISH == 0
  float f = 0.045 + 0.50 * rim;
  colour += f * shine * (room(r, 0.25) * 0.55 + boxes(r, 0.075) * 7.5);
  // The far wall throws the lamp back once more, upside down and in the balloon's own colour.
  vec3 back = -v - 2.0 * nv * n + 4.0 * nv * nv * v;
  colour += skin * (0.05 + 0.12 * skin) * shine * boxes(back, 0.16) * nv;
#else
  // Mica: a broad silky band round the highlight, on top of the same gloss.
  float silk = pow(nv, 1.6);
  colour = mix(colour, (0.35 * skin + 0.75 * sqrt(skin)) * light, 0.34 * silk);
  colour += mix(vec3(0.75), sqrt(skin), 0.6) * shine * (boxes(r, 0.45) * 0.42 + room(r, 0.5) * 0.05);
  colour += (0.045 + 0.5 * rim) * shine * (room(r, 0.25) * 0.5 + boxes(r, 0.05) * 6.5);
#endif
#elif FINISH == 2 || FINISH == 4
  float blur = FINISH == 2 ? 0.06 : 0.02;
  vec3 film = mix(skin, vec3(1.0), rim * 0.7);
  vec3 seen = room(r, blur * 2.0);
  seen *= mix(0.42, 1.12, smoothstep(-0.35, 0.75, r.z)) + 0.18 * dot(r, KEY);
  seen += boxes(r, blur) * 1.9;
  vec3 grooves = vNear.rgb * 0.55 + skin * 0.04;
  colour = film * mix(grooves, seen, smoothstep(0.05, 0.85, open));
  colour += skin * light * 0.10;
#else
  float f = 0.05 + 0.75 * rim;
  float body = mix(0.10, 0.62, pow(1.0 - nv, 2.2)) + 0.25 * smoothstep(-0.75, -1.2, vLocal.z);
  alpha = clamp(body + f, 0.0, 1.0);
  colour = skin * light * body + f * shine * (room(r, 0.1) * 0.8) + 0.05 * boxes(r, 0.05) * 8.0;
  colour *= gl_FrontFacing ? 1.0 : 0.6;
  alpha *= gl_FrontFacing ? 1.0 : 0.55;
#endif
  gl_FragColor = vec4(shoulder(colour), alpha);
  #include <colorspace_fragment>
}
`;

export const FIXTURE_VERTEX = /* glsl */ `
in vec3 tint;
in vec3 surface; // share of free sky, metal, blur
out vec3 vNormal;
out vec3 vPlace;
out vec3 vTint;
out vec3 vSurface;
${GROW}
void main() {
  vec4 world = modelMatrix * vec4(position, 1.0);
  vPlace = world.xyz;
  vNormal = mat3(modelMatrix) * normal;
  vTint = tint;
  vSurface = surface;
  gl_Position = projectionMatrix * viewMatrix * world;
#ifdef OUTLINE
  gl_Position = grown(gl_Position, vNormal);
#endif
}
`;

export const FIXTURE_FRAGMENT = /* glsl */ `
in vec3 vNormal;
in vec3 vPlace;
in vec3 vTint;
in vec3 vSurface;
${STUDIO}
void main() {
  vec3 v = normalize(cameraPosition - vPlace);
  vec3 n = normalize(vNormal);
  if (dot(n, v) < 0.0) n = -n;
  float nv = clamp(dot(n, v), 0.0, 1.0);
  vec3 r = reflect(-v, n);
  float open = vSurface.x;
  float rim = pow(1.0 - nv, 5.0);
  float blur = vSurface.z;
  vec3 mirror = (room(r, blur) * mix(0.6, 1.0, 0.5 + 0.5 * r.z) + boxes(r, blur) * 1.5) * open;
  vec3 plain = vTint * daylight(n, open, vPlace.z) * 0.95 + (0.04 + 0.4 * rim) * open * (room(r, blur) * 0.4 + boxes(r, blur) * 4.0);
  vec3 metal = mix(vTint, vec3(1.0), rim * 0.6) * mirror + vTint * daylight(n, open, vPlace.z) * 0.25;
  gl_FragColor = vec4(shoulder(mix(plain, metal, vSurface.y)), 1.0);
  #include <colorspace_fragment>
}
`;

export const OUTLINE_FRAGMENT = /* glsl */ `
uniform vec3 pen;
void main() {
  gl_FragColor = vec4(pen, 1.0);
  #include <colorspace_fragment>
}
`;
