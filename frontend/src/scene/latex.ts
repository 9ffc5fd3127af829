// The two stages that draw balloons: pressing and grooves per vertex, skin and shine per pixel.
import { CONTACTS, LINE, SIDE, TILE } from "./neighbours";
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
in vec4 tint;   // colour, linear, and the row in the maps of neighbours, -1 for none
${Array.from({ length: CONTACTS }, (_, k) => `in vec4 plane${k};`).join("\n")}
out vec3 vNormal;
out vec3 vPlace;
out vec4 vTint;
out vec3 vLocal;
out vec3 vWay;
${GROW}
vec3 turned(vec4 q, vec3 v) { return v + 2.0 * cross(q.xyz, cross(q.xyz, v) + q.w * v); }

// Where two press together the skin stops at the plane of the circle they share, with a soft edge.
void press(vec4 plane, inout vec3 p, inout vec3 n) {
  if (plane.w >= 1.0) return;
  float s = dot(p, plane.xyz);
  float soft = min(0.14, 0.8 * (1.0 - plane.w) + 0.01);
  float blend = clamp(0.5 + 0.5 * (plane.w - s) / soft, 0.0, 1.0);
  p += plane.xyz * ((plane.w - s) * (1.0 - blend) - soft * blend * (1.0 - blend));
  n = mix(plane.xyz * dot(n, plane.xyz), n, max(blend, 1e-4));
}

void main() {
  vec3 p = turned(turn, position);
  vec3 n = turned(turn, normal);
${Array.from({ length: CONTACTS }, (_, k) => `  press(plane${k}, p, n);`).join("\n")}
  vec4 world = modelMatrix * vec4(place.xyz + p * place.w, 1.0);
  vPlace = world.xyz;
  vNormal = mat3(modelMatrix) * normalize(n);
  vTint = tint;
  vLocal = position;
  vWay = p;
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
in vec4 vTint;
in vec3 vLocal;
in vec3 vWay;
uniform sampler2D around;
${STUDIO}

// What neighbours throw back (rgb) and the share of sky they leave free (a), in a direction.
vec4 neighbours(float row, vec3 way) {
  vec3 d = way / (abs(way.x) + abs(way.y) + abs(way.z));
  vec2 flat_ = d.z >= 0.0 ? d.xy : (1.0 - abs(d.yx)) * vec2(d.x < 0.0 ? -1.0 : 1.0, d.y < 0.0 ? -1.0 : 1.0);
  float line = floor((row + 0.5) / ${LINE}.0);
  vec2 tile = vec2(row - line * ${LINE}.0, line) * ${TILE}.0 + 1.0;
  return texture(around, (tile + (flat_ * 0.5 + 0.5) * ${SIDE}.0) / vec2(textureSize(around, 0)));
}
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
  vec4 near = vec4(0.0, 0.0, 0.0, 1.0);
  if (vTint.a >= 0.0) near = neighbours(vTint.a, vWay);
#if FINISH == 3
  near.a = 0.65 + 0.35 * near.a; // light comes through it from all sides
#endif
  float open = near.a;
  vec3 r = reflect(-v, n);
  float graze = 1.0 - nv;
  float rim = graze * graze * graze * graze * graze;
  float shine = open * open;   // a groove mirrors its neighbours, not the room
  vec3 skin = vTint.rgb;
#if MARK > 0
  skin = printed(skin);
#endif
  vec3 light = daylight(n, open, vPlace.z);
  // What a neighbour throws back is its own colour, lit about as well as this spot.
  vec3 bounce = near.rgb * (0.10 + 0.34 * open);
  vec3 colour;
  float alpha = 1.0;
#if FINISH == 0 || FINISH == 1
  // Rubber is thick at the neck and crown, and a slanting look goes through more of it.
  float thick = 0.5 * graze * graze + 0.45 * smoothstep(-0.75, -1.2, vLocal.z);
  vec3 deep = skin * (1.0 - thick + thick * skin);
  // Light that comes in on the far side glows through.
  vec3 glow = skin * deep * daylight(-n, 1.0, vPlace.z + 0.3) * 0.14 * (0.35 + 0.65 * open);
  colour = deep * (light + bounce) * 0.93 + glow;
#if FINISH == 0
  float f = 0.042 + 0.42 * rim;
  // a small crisp lamp in a broad soft sheen: rubber is polished, but never quite smooth
  colour += f * shine * (room(r, 0.3) * 0.6 + boxes(r, 0.085) * 5.6 + key(r, 0.45) * 3.0);
  // The far wall throws the lamp back once more, upside down and in the balloon's own colour.
  vec3 back = -v - 2.0 * nv * n + 4.0 * nv * nv * v;
  colour += skin * (0.04 + 0.10 * skin) * shine * key(back, 0.34) * nv;
#else
  // Mica: a broad silky band round the highlight, on top of the same gloss.
  float silk = nv * sqrt(nv);
  colour = mix(colour, (0.35 * skin + 0.75 * sqrt(skin)) * light, 0.34 * silk);
  colour += mix(vec3(0.75), sqrt(skin), 0.6) * shine * (boxes(r, 0.45) * 0.42 + room(r, 0.5) * 0.05);
  colour += (0.045 + 0.5 * rim) * shine * (room(r, 0.25) * 0.5 + boxes(r, 0.05) * 6.5);
#endif
#elif FINISH == 2 || FINISH == 4
  float blur = FINISH == 2 ? 0.045 : 0.02;
  vec3 film = mix(skin * (1.06 - 0.06 * skin), vec3(1.0), rim * 0.6);
  // a mirror needs dark to be bright against: the far wall below the lamps is in shade
  vec3 seen = room(r, 0.06) * (0.20 + 0.92 * smoothstep(-0.02, 0.85, r.z));
  seen += paper * 0.34 * smoothstep(-0.12, -0.75, r.z) + 0.12 * max(dot(r, KEY), 0.0);
  seen += boxes(r, blur) * 2.6 + key(r, 0.5) * 0.45;
  vec3 grooves = near.rgb * 0.5 + skin * 0.05;
  colour = film * mix(grooves, seen, smoothstep(0.05, 0.9, open));
  colour += skin * light * 0.16;
#else
  float f = 0.04 + 0.55 * rim;
  float haze = 0.05 + 0.42 * graze * graze * graze + 0.35 * smoothstep(-0.75, -1.2, vLocal.z);
  colour = skin * light * (0.62 + 0.2 * nv) * haze + f * shine * room(r, 0.1) * 0.7;
  colour += (boxes(r, 0.05) * 0.34 + key(r, 0.4) * 0.10) * shine;
  alpha = clamp(haze + f * 0.9, 0.0, 1.0);
  // the far side is seen through the near one
  if (!gl_FrontFacing) { colour *= 0.5; alpha *= 0.6; }
#endif
  gl_FragColor = vec4(shown(colour), alpha);
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
  float graze = 1.0 - nv;
  float rim = graze * graze * graze * graze * graze;
  float blur = vSurface.z;
  vec3 mirror = (room(r, blur) * mix(0.6, 1.0, 0.5 + 0.5 * r.z) + boxes(r, blur) * 1.5) * open;
  vec3 plain = vTint * daylight(n, open, vPlace.z) * 0.95 + (0.04 + 0.4 * rim) * open * (room(r, blur) * 0.4 + boxes(r, blur) * 4.0);
  vec3 metal = mix(vTint, vec3(1.0), rim * 0.6) * mirror + vTint * daylight(n, open, vPlace.z) * 0.25;
  gl_FragColor = vec4(shown(mix(plain, metal, vSurface.y)), 1.0);
}
`;

export const OUTLINE_FRAGMENT = /* glsl */ `
uniform vec3 pen;
void main() {
  gl_FragColor = vec4(pen, 1.0);
  #include <colorspace_fragment>
}
`;
