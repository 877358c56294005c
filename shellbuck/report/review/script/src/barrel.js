// The barrel in three dimensions. Drawn when something changed, never otherwise.

import {
  BufferAttribute, BufferGeometry, ColorManagement, DoubleSide, GLSL3, InstancedBufferAttribute, InstancedBufferGeometry,
  LinearSRGBColorSpace, LineSegments, Mesh, OrthographicCamera, RawShaderMaterial, Scene, Vector2, Vector3, WebGLRenderer,
} from "three"; // prettier-ignore
import { Camera } from "./camera.js";
import { channels } from "./colours.js";
import { normals } from "./normals.js";
import { LINE_COLOUR, LINE_NODES, SURFACE_COLOURS, SURFACE_NODES } from "./shaders.js";

const GROUND = 0xf3f5f9;
const GHOST = [0.604, 0.639, 0.678];
const INK = [0.133, 0.188, 0.235];

/** Whether and how much of the barrel is left out, as (start, width) [rad]. */
export function opening(state) {
  return state.cut ? [state.cutAt - state.cutWide / 2, state.cutWide] : [0, 0];
}

export class BarrelDrawing {
  /** Throws when the canvas has no WebGL. */
  constructor(canvas, data) {
    const context = canvas.getContext("webgl2", { antialias: true, alpha: false, depth: true, stencil: false });
    if (!context) throw new Error("no WebGL");
    ColorManagement.enabled = false;
    this.canvas = canvas;
    this.barrel = data.barrel;
    this.camera = new Camera(data.barrel);
    this.frames = 0;
    this.renderer = new WebGLRenderer({ canvas, context, antialias: true });
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    this.renderer.setClearColor(GROUND, 1);
    this.scene = new Scene();
    this.eye = new OrthographicCamera();
    this.shared = { amplitude: { value: 0 }, opening: { value: new Vector2() } };
    this.look = {
      palette: { value: data.palette.map((hex) => new Vector3(...channels(hex)).divideScalar(255)) },
      shading: { value: 1 },
      contours: { value: 1 },
    };
    this.entries = data.palette.length;
    this.bodies = [];
    this.cuts = this.lines(INK, 2e-3);
    this.ghost = this.lines(GHOST, 0, { value: 0 });
    this.setLines(this.ghost, ghostLines(data.barrel));
  }

  surface(part) {
    return new RawShaderMaterial({
      glslVersion: GLSL3,
      vertexShader: SURFACE_NODES,
      fragmentShader: SURFACE_COLOURS.replaceAll("ENTRIES", String(this.entries)),
      uniforms: { ...this.shared, ...this.look, faceted: { value: part === "skin" ? 0 : 1 }, plain: { value: 0 } },
      side: DoubleSide,
    });
  }

  lines(ink, lift, amplitude = this.shared.amplitude) {
    const material = new RawShaderMaterial({
      glslVersion: GLSL3,
      vertexShader: LINE_NODES,
      fragmentShader: LINE_COLOUR,
      uniforms: { ...this.shared, amplitude, ink: { value: new Vector3(...ink) }, lift: { value: lift } },
    });
    const drawn = new LineSegments(new BufferGeometry(), material);
    drawn.frustumCulled = false;
    this.scene.add(drawn);
    return drawn;
  }

  /** Segments between nodes: polar and shift of 3 numbers a node, two nodes a segment. */
  setLines(drawn, { polar, shift }) {
    drawn.geometry.dispose();
    const geometry = new BufferGeometry();
    const copy = new Float32Array(polar.length);
    for (let i = 0; i < copy.length; i += 3) copy.set([0, 1, 1], i);
    geometry.setAttribute("polar", new BufferAttribute(polar, 3));
    geometry.setAttribute("shift", new BufferAttribute(shift, 3));
    geometry.setAttribute("copy", new BufferAttribute(copy, 3));
    geometry.setDrawRange(0, polar.length / 3);
    drawn.geometry = geometry;
  }

  /** Take the bodies of a mode. */
  setBodies(bodies) {
    for (const drawn of this.bodies) {
      this.scene.remove(drawn);
      drawn.geometry.dispose();
      drawn.material.dispose();
    }
    this.bodies = bodies.map((body) => {
      const geometry = new InstancedBufferGeometry();
      const [first, second] = normals(body);
      for (const [name, values] of [["polar", body.polar], ["shift", body.shift], ["normal0", first], ["normal1", second]]) {
        geometry.setAttribute(name, new BufferAttribute(values, 3));
      }
      geometry.setAttribute("copy", new InstancedBufferAttribute(Float32Array.from(body.copies.flat()), 3));
      geometry.instanceCount = body.copies.length;
      geometry.setIndex(new BufferAttribute(body.index, 1));
      const drawn = new Mesh(geometry, this.surface(body.part));
      drawn.frustumCulled = false;
      drawn.userData.skin = body.skin;
      this.scene.add(drawn);
      return drawn;
    });
  }

  /** The lines of the two cuts through a place, on the moved skin. */
  setCuts(field, theta, x) {
    const { radius, length } = this.barrel;
    const nodes = [];
    const run = (count, place) => {
      for (let i = 0; i < count; i++) nodes.push(place(i / count), place((i + 1) / count));
    };
    run(160, (t) => [t * length, theta]);
    run(480, (t) => [x, 2 * Math.PI * t]);
    const polar = new Float32Array(3 * nodes.length);
    const shift = new Float32Array(3 * nodes.length);
    nodes.forEach(([at, turn], i) => {
      polar.set([at, turn, radius], 3 * i);
      shift.set(field.at(turn, at), 3 * i);
    });
    this.setLines(this.cuts, { polar, shift });
  }

  resize(width, height, density) {
    this.camera.size = [width, height];
    this.renderer.setPixelRatio(density);
    this.renderer.setSize(width, height, false);
  }

  /** Take what is chosen; `amplitude` [m] is that of the moment. */
  take(state, amplitude) {
    this.camera.pose = state.pose;
    this.shared.amplitude.value = amplitude;
    this.shared.opening.value.set(...opening(state));
    this.look.shading.value = state.shade ? 1 : 0;
    this.look.contours.value = state.contours ? 1 : 0;
    this.ghost.visible = state.ghost;
    this.cuts.visible = state.cutLines;
    for (const drawn of this.bodies) {
      drawn.visible = drawn.userData.skin || state.ribs !== "hidden";
      drawn.material.uniforms.plain.value = !drawn.userData.skin && state.ribs === "plain" ? 1 : 0;
    }
  }

  draw() {
    const { camera, eye } = this;
    const { towards, up } = camera.axes();
    const focus = camera.focus();
    const reach = 4 * (this.barrel.radius + this.barrel.length);
    const half = camera.size.map((pixels) => pixels / 2 / camera.scale());
    Object.assign(eye, { left: -half[0], right: half[0], top: half[1], bottom: -half[1], near: 0, far: 2 * reach });
    eye.position.set(...focus.map((value, k) => value + reach * towards[k]));
    eye.up.set(...up);
    eye.lookAt(...focus);
    eye.updateProjectionMatrix();
    this.renderer.render(this.scene, eye);
    this.frames += 1;
  }

  /** [red, green, blue] drawn at a pixel of the picture. */
  read(px, py) {
    this.draw();
    const gl = this.renderer.getContext();
    const density = this.renderer.getPixelRatio();
    const found = new Uint8Array(4);
    gl.readPixels(Math.floor(px * density), Math.floor(gl.drawingBufferHeight - py * density), 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, found);
    return Array.from(found.subarray(0, 3));
  }
}

/** Lines of the barrel as drawn: three rings and twelve generators. */
function ghostLines({ radius, length }) {
  const nodes = [];
  const around = 120;
  for (const x of [0, length / 2, length]) {
    for (let i = 0; i < around; i++) {
      for (const k of [i, i + 1]) nodes.push([x, (2 * Math.PI * k) / around, radius]);
    }
  }
  for (let k = 0; k < 12; k++) {
    for (let i = 0; i < 24; i++) for (const j of [i, i + 1]) nodes.push([(length * j) / 24, (Math.PI * k) / 6, radius]);
  }
  return { polar: Float32Array.from(nodes.flat()), shift: new Float32Array(3 * nodes.length) };
}
