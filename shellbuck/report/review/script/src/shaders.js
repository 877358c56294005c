// The barrel's two programs. Nodes stay in (x, theta, r); copies of a meshed part are placed here.

const PLACE = `
precision highp float;
uniform mat4 modelViewMatrix, projectionMatrix;
uniform float amplitude;
in vec3 polar, shift, copy;  // (x, theta, r), (u, v, w), (offset, direction, sign)

vec4 placed(out float theta) {
  theta = copy.x + copy.y * polar.y;
  vec3 d = amplitude * copy.z * vec3(shift.x, copy.y * shift.y, shift.z);
  float c = cos(theta), s = sin(theta), r = polar.z + d.z;
  return modelViewMatrix * vec4(r * c - d.y * s, r * s + d.y * c, polar.x + d.x, 1.0);
}`;

export const SURFACE_NODES = `${PLACE}
in vec3 normal0, normal1;  // (radial, hoop, axial): of the barrel as drawn, and what one unit of amplitude adds
out float value, turn;
out vec3 facing, seen;
void main() {
  vec4 at = placed(turn);
  vec3 n = normal0 + amplitude * copy.z * normal1;
  n.y *= copy.y;
  float c = cos(turn), s = sin(turn);
  facing = mat3(modelViewMatrix) * vec3(n.x * c - n.y * s, n.x * s + n.y * c, n.z);
  seen = at.xyz;
  value = copy.z * shift.z;
  gl_Position = projectionMatrix * at;
}`;

export const SURFACE_COLOURS = `
precision highp float;
uniform vec3 palette[ENTRIES];
uniform vec2 opening;  // start and width of the sector that is left out
uniform float shading, contours, faceted, plain;
in float value, turn;
in vec3 facing, seen;
out vec4 colour;

vec3 shown(float v) {
  float at = clamp(0.5 * (v + 1.0), 0.0, 1.0) * float(ENTRIES - 1);
  int i = min(int(at), ENTRIES - 2);
  return mix(palette[i], palette[i + 1], at - float(i));
}

void main() {
  if (mod(turn - opening.x, 6.28318530718) < opening.y) discard;
  vec3 c = plain > 0.5 ? vec3(0.70, 0.74, 0.78) : shown(value);
  float level = 4.0 * value, wide = length(vec2(dFdx(level), dFdy(level)));
  if (contours > 0.5 && plain < 0.5 && wide < 0.5 && abs(level) < 3.5) {
    float away = abs(fract(level + 0.5) - 0.5) / max(wide, 1e-6);
    bool zero = abs(level) < 0.5;
    c = mix(c, vec3(0.13, 0.19, 0.24), (zero ? 0.70 : 0.36) * (1.0 - smoothstep(zero ? 0.4 : 0.3, zero ? 1.1 : 1.0, away)));
  }
  if (shading > 0.5) {
    vec3 n = faceted > 0.5 ? normalize(cross(dFdx(seen), dFdy(seen))) : normalize(facing);
    bool inside = faceted < 0.5 && n.z < 0.0;
    if (n.z < 0.0) n = -n;
    c *= (inside ? 0.84 : 1.0) * (0.56 + 0.44 * max(dot(n, normalize(vec3(-0.45, 0.5, 0.74))), 0.0) + 0.04 * n.z);
  }
  colour = vec4(c, 1.0);
}`;

export const LINE_NODES = `${PLACE}
uniform float lift;
out float turn;
void main() {
  gl_Position = projectionMatrix * placed(turn);
  gl_Position.z -= lift * gl_Position.w;
}`;

export const LINE_COLOUR = `
precision highp float;
uniform vec3 ink;
uniform vec2 opening;
in float turn;
out vec4 colour;
void main() {
  if (mod(turn - opening.x, 6.28318530718) < opening.y) discard;
  colour = vec4(ink, 1.0);
}`;
