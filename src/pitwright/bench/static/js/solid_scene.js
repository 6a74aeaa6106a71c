// The pit in three dimensions, drawn like a drawing: faces in quiet shades, sharp edges and true outlines as lines,
// cut faces hatched. Knows nothing of the page around it; `makeScene` gives a handle that the page turns and asks.
//
// Frame: x along the pit, y to the working side, z up [m]. Nothing is animated; a picture is made only when asked for.

import * as THREE from "/static/three.js";

const BEND_VERTEX = `
  #include <clipping_planes_pars_vertex>
  attribute vec3 other;
  attribute vec3 beside;
  attribute vec3 across;
  attribute float end;
  // Both ends ask the same question of the same points, so that they always agree.
  void main() {
    mat4 all = projectionMatrix * modelViewMatrix;
    vec4 a = all * vec4(position, 1.0);
    vec2 line = (all * vec4(other, 1.0)).xy - a.xy;
    vec2 square = vec2(-line.y, line.x);
    float one = dot(square, (all * vec4(beside, 1.0)).xy - a.xy);
    float two = dot(square, (all * vec4(across, 1.0)).xy - a.xy);
    vec4 mvPosition = modelViewMatrix * vec4(mix(position, other, end), 1.0);
    gl_Position = one * two > 0.0 ? projectionMatrix * mvPosition : vec4(2.0, 2.0, 2.0, 1.0);
    #include <clipping_planes_vertex>
  }`;
const LINE_VERTEX = `
  #include <clipping_planes_pars_vertex>
  void main() {
    vec4 mvPosition = modelViewMatrix * vec4(position, 1.0);
    gl_Position = projectionMatrix * mvPosition;
    #include <clipping_planes_vertex>
  }`;
const LINE_FRAGMENT = `
  #include <clipping_planes_pars_fragment>
  uniform vec3 ink;
  void main() {
    #include <clipping_planes_fragment>
    gl_FragColor = vec4(ink, 1.0);
  }`;
const HATCH_FRAGMENT = `
  #include <clipping_planes_pars_fragment>
  uniform vec3 ink;
  uniform vec3 paper;
  uniform float pitch;
  uniform float way;
  void main() {
    #include <clipping_planes_fragment>
    float at = mod(gl_FragCoord.x + way * gl_FragCoord.y, pitch) / pitch;
    gl_FragColor = vec4(mix(paper, ink, at < 0.25 ? 1.0 : 0.6), 1.0);
  }`;

// Which way each group goes when the pit is pulled apart; x is away from the fire end, turned round for the other hand.
const APART = {
  vessel: [0, 0, 0],
  doors: [0, 0.95, 0.55],
  grates: [0, 1.5, -0.05],
  firebox: [-0.55, 0, 0],
  throat: [-0.25, 0, 0],
  stack: [0, 0, 0.8],
  legs: [0, 0, -0.45],
  saddles: [0, 0, -0.45],
  base: [0, 0, -0.85],
  shelf: [0, 0.7, -0.3],
  lifting: [0, 0, 0.4],
};

export const VIEWS = [
  ["side", "Side", [0, 1, 0]],
  ["back", "Back", [0, -1, 0]],
  ["fire end", "Fire end", [-1, 0, 0]],
  ["stack end", "Stack end", [1, 0, 0]],
  ["plan", "Plan", [0, 0.0001, 1]],
  ["corner", "Corner", [0.62, 1, 0.5]],
];

function numbers(text, Kind) {
  const raw = atob(text);
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i += 1) bytes[i] = raw.charCodeAt(i);
  return new Kind(bytes.buffer);
}

function readShape(record) {
  const Index = record.wide ? Uint32Array : Uint16Array;
  const corners = numbers(record.corners, Float32Array);
  const faces = new THREE.BufferGeometry();
  const position = new THREE.BufferAttribute(corners, 3);
  faces.setAttribute("position", position);
  faces.setAttribute("normal", new THREE.BufferAttribute(numbers(record.normals, Int8Array), 3, true));
  faces.setIndex(new THREE.BufferAttribute(numbers(record.faces, Index), 1));
  faces.computeBoundingBox();
  faces.computeBoundingSphere();
  const edges = new THREE.BufferGeometry();
  edges.setAttribute("position", position);
  edges.setIndex(new THREE.BufferAttribute(numbers(record.edges, Index), 1));
  const four = numbers(record.bends, Index);
  const count = four.length / 4;
  const columns = { position: 0, other: 1, beside: 2, across: 3 };
  const bends = new THREE.BufferGeometry();
  const ends = Float32Array.from({ length: 2 * count }, (_, i) => i % 2);
  bends.setAttribute("end", new THREE.BufferAttribute(ends, 1));
  for (const [name, which] of Object.entries(columns)) {
    const values = new Float32Array(count * 6);
    for (let i = 0; i < count; i += 1) {
      for (let end = 0; end < 2; end += 1) {
        const from = four[4 * i + which] * 3;
        for (let k = 0; k < 3; k += 1) values[6 * i + 3 * end + k] = corners[from + k];
      }
    }
    bends.setAttribute(name, new THREE.BufferAttribute(values, 3));
  }
  return { faces, edges: record.edges ? edges : null, bends: count ? bends : null };
}

function lineMaterial(vertexShader) {
  return new THREE.ShaderMaterial({
    vertexShader,
    fragmentShader: LINE_FRAGMENT,
    uniforms: { ink: { value: new THREE.Color() } },
    clipping: true,
  });
}

// Colours come as `{paper, ink, quiet, accent, dark}`, CSS colours but for `dark`, a yes or no.
// Throws where the browser has no WebGL.
// `calm`: the wheel scrolls the page until the picture is taken in hand.
export function makeScene(canvas, { colours, onChange = () => {}, calm = false }) {
  const context = canvas.getContext("webgl2", { alpha: false, antialias: true, depth: true, stencil: true });
  if (!context) throw new Error("no WebGL");
  const renderer = new THREE.WebGLRenderer({ canvas, context, antialias: true, stencil: true });
  renderer.autoClear = false;
  const scene = new THREE.Scene();
  const root = new THREE.Group();
  const lights = new THREE.Group();
  scene.add(root, lights);
  const sky = new THREE.HemisphereLight(0xffffff, 0xffffff, 1.0);
  const lamp = new THREE.DirectionalLight(0xffffff, 1.0);
  lights.add(sky, lamp, lamp.target);
  const camera = new THREE.OrthographicCamera(-1, 1, 1, -1, 0.01, 100);
  camera.up.set(0, 0, 1);
  const controls = new THREE.OrbitControls(camera, canvas);
  controls.enableDamping = false;
  controls.zoomToCursor = true;
  controls.minZoom = 0.2;
  controls.maxZoom = 40;

  if (calm) {
    controls.enableZoom = false;
    const held = (on) => () => {
      controls.enableZoom = on;
    };
    canvas.addEventListener("focus", held(true));
    canvas.addEventListener("pointerdown", held(true));
    canvas.addEventListener("blur", held(false));
  }

  const planes = [0, 1, 2].map((axis) => {
    const normal = new THREE.Vector3();
    normal.setComponent(axis, -1);
    return { axis, on: false, share: 0.5, other: false, plane: new THREE.Plane(normal, 0) };
  });
  const caps = planes.map((cut) => {
    const material = new THREE.ShaderMaterial({
      vertexShader: LINE_VERTEX,
      fragmentShader: HATCH_FRAGMENT,
      uniforms: {
        ink: { value: new THREE.Color() },
        paper: { value: new THREE.Color() },
        pitch: { value: 9 },
        way: { value: cut.axis === 1 ? -1 : 1 },
      },
      clipping: true,
      side: THREE.DoubleSide,
      stencilWrite: true,
      stencilRef: 0,
      stencilFunc: THREE.NotEqualStencilFunc,
      stencilFail: THREE.ReplaceStencilOp,
      stencilZFail: THREE.ReplaceStencilOp,
      stencilZPass: THREE.ReplaceStencilOp,
      polygonOffset: true,
      polygonOffsetFactor: 0.2,
      polygonOffsetUnits: 0.5,
    });
    const mesh = new THREE.Mesh(new THREE.PlaneGeometry(40, 40), material);
    const only = new THREE.Scene();
    only.add(mesh);
    return { mesh, only, material };
  });
  const counted = [
    [THREE.BackSide, THREE.IncrementWrapStencilOp],
    [THREE.FrontSide, THREE.DecrementWrapStencilOp],
  ].map(
    ([side, step]) =>
      new THREE.MeshBasicMaterial({
        side,
        colorWrite: false,
        depthWrite: false,
        depthTest: false,
        stencilWrite: true,
        stencilFunc: THREE.AlwaysStencilFunc,
        stencilFail: step,
        stencilZFail: step,
        stencilZPass: step,
      }),
  );

  const plain = { edge: lineMaterial(LINE_VERTEX), bend: lineMaterial(BEND_VERTEX) };
  const marked = { edge: lineMaterial(LINE_VERTEX), bend: lineMaterial(BEND_VERTEX) };
  const fills = new Map();
  let shapes = [];
  let copies = []; // {key, piece, copy, at, centre, holder, mesh, edges, bends, hidden, picked, move}
  let moves = [];
  let opened = {}; // name of what moves -> 0 to 1
  let apart = 0;
  let hand = 1;
  let home = new THREE.Box3();
  let shown = colours;
  let asked = 0;
  let gone = false;

  function fill(group, picked) {
    const key = `${group}|${picked}`;
    if (!fills.has(key)) {
      fills.set(
        key,
        new THREE.MeshLambertMaterial({ polygonOffset: true, polygonOffsetFactor: 0.7, polygonOffsetUnits: 2 }),
      );
    }
    return fills.get(key);
  }

  let tints = {};

  function paint() {
    const paper = new THREE.Color(shown.paper);
    const ink = new THREE.Color(shown.ink);
    const accent = new THREE.Color(shown.accent);
    renderer.setClearColor(paper, 1);
    sky.color.set(0xffffff);
    sky.groundColor.set(shown.dark ? 0x6d7478 : 0xaeb4b6);
    sky.intensity = shown.dark ? 1.5 : 2.05;
    lamp.intensity = shown.dark ? 1.3 : 1.25;
    for (const [key, material] of fills) {
      const [group, picked] = key.split("|");
      const tint = new THREE.Color().setRGB(...(tints[group] || [0.5, 0.5, 0.5]), THREE.SRGBColorSpace || "srgb");
      const ground = new THREE.Color(shown.dark ? "#20282c" : "#ffffff");
      material.color.copy(ground).lerp(tint, shown.dark ? 0.5 : 0.28);
      if (picked === "true") material.color.lerp(accent, 0.62);
    }
    // These go to the screen as they are, so they are written as the screen wants them.
    const flat = (uniform, colour) => uniform.value.copy(colour).convertLinearToSRGB();
    for (const material of Object.values(plain)) flat(material.uniforms.ink, ink);
    for (const material of Object.values(marked)) flat(material.uniforms.ink, accent);
    for (const cap of caps) {
      flat(cap.material.uniforms.ink, ink);
      flat(cap.material.uniforms.paper, paper);
    }
  }

  function load(data) {
    const keep = new Map(copies.map((c) => [c.key, c]));
    root.clear();
    for (const shape of shapes) for (const part of [shape.faces, shape.edges, shape.bends]) if (part) part.dispose();
    shapes = data.shapes.map(readShape);
    moves = data.moves;
    hand = data.hand;
    tints = Object.fromEntries(data.groups.map((g) => [g.key, g.colour]));
    copies = [];
    home = new THREE.Box3();
    const box = new THREE.Box3();
    for (const piece of data.pieces) {
      const shape = shapes[piece.shape];
      piece.copies.forEach((copy, number) => {
        const key = `${piece.mark}/${number + 1}`;
        const a = copy.at;
        const at = new THREE.Matrix4().set(
          a[0], a[3], a[6], a[9],
          a[1], a[4], a[7], a[10],
          a[2], a[5], a[8], a[11],
          0, 0, 0, 1,
        );
        const holder = new THREE.Group();
        holder.matrixAutoUpdate = false;
        const mesh = new THREE.Mesh(shape.faces, fill(piece.group, false));
        holder.add(mesh);
        const edges = shape.edges && new THREE.LineSegments(shape.edges, plain.edge);
        const bends = shape.bends && new THREE.LineSegments(shape.bends, plain.bend);
        for (const lines of [edges, bends]) {
          if (!lines) continue;
          lines.layers.set(1);
          lines.frustumCulled = false;
          holder.add(lines);
        }
        box.copy(shape.faces.boundingBox).applyMatrix4(at);
        home.union(box);
        const before = keep.get(key);
        const entry = {
          key, piece, copy, at, holder, mesh, edges, bends,
          centre: box.getCenter(new THREE.Vector3()),
          hidden: before ? before.hidden : false,
          picked: before ? before.picked : false,
          move: moves.find((m) => m.name === piece.moves) || null,
        };
        mesh.userData.entry = entry;
        copies.push(entry);
        root.add(holder);
      });
    }
    for (const entry of copies) dress(entry);
    paint();
    place();
  }

  function dress(entry) {
    entry.holder.visible = !entry.hidden;
    entry.mesh.material = fill(entry.piece.group, entry.picked);
    const lines = entry.picked ? marked : plain;
    if (entry.edges) entry.edges.material = lines.edge;
    if (entry.bends) entry.bends.material = lines.bend;
  }

  // Every copy where the sliders put it.
  function place() {
    const size = home.getSize(new THREE.Vector3());
    const middle = home.getCenter(new THREE.Vector3());
    const reach = 0.55 * Math.max(size.y, size.z, 0.5 * size.x);
    for (const entry of copies) {
      const m = new THREE.Matrix4().copy(entry.at);
      const share = entry.move ? opened[entry.move.name] || 0 : 0;
      if (share > 0) m.premultiply(moved(entry.move, share));
      if (apart > 0) {
        const way = new THREE.Vector3(...(APART[entry.piece.group] || [0, 0, 0]));
        way.x *= hand > 0 ? 1 : -1;
        const out = entry.centre.clone().sub(middle);
        if (entry.piece.group === "vessel" && Math.abs(out.x) > 0.3 * size.x) way.x += 0.35 * Math.sign(out.x);
        if (entry.piece.group === "fittings") way.copy(out).multiplyScalar(0.4 / reach);
        if (entry.piece.group === "grates") way.z += 0.5 * Math.sign(out.z - 0.1) * Math.min(1, Math.abs(out.z) / 0.3);
        if (entry.piece.group === "firebox") way.z -= 0.2 * (entry.piece.moves ? 0 : 1);
        out.multiplyScalar(0.22 * apart);
        way.multiplyScalar(reach * apart).add(out);
        m.premultiply(new THREE.Matrix4().makeTranslation(way.x, way.y, way.z));
      }
      entry.holder.matrix.copy(m);
      entry.holder.matrixWorldNeedsUpdate = true;
    }
    root.updateMatrixWorld(true);
    setPlanes();
    ask();
  }

  function moved(move, share) {
    if (move.kind === "slide") {
      const [x, y, z] = move.along.map((v) => v * move.most * share);
      return new THREE.Matrix4().makeTranslation(x, y, z);
    }
    const [x, y, z] = move.point;
    return new THREE.Matrix4()
      .makeTranslation(x, y, z)
      .multiply(new THREE.Matrix4().makeRotationAxis(new THREE.Vector3(...move.axis), move.most * share))
      .multiply(new THREE.Matrix4().makeTranslation(-x, -y, -z));
  }

  function bounds() {
    const box = new THREE.Box3();
    const one = new THREE.Box3();
    for (const entry of copies) {
      if (entry.hidden) continue;
      box.union(one.copy(entry.mesh.geometry.boundingBox).applyMatrix4(entry.mesh.matrixWorld));
    }
    return box.isEmpty() ? home.clone() : box;
  }

  function setPlanes() {
    const box = bounds();
    for (const cut of planes) {
      const low = box.min.getComponent(cut.axis);
      const high = box.max.getComponent(cut.axis);
      cut.at = low + (high - low) * Math.min(Math.max(cut.share, 0.001), 0.999);
      const sign = cut.other ? 1 : -1;
      cut.plane.normal.set(0, 0, 0).setComponent(cut.axis, sign);
      cut.plane.constant = -sign * cut.at;
    }
  }

  // The picture as large as it goes, its middle in the middle.
  function fit() {
    camera.updateMatrixWorld(true);
    const inverse = camera.matrixWorldInverse.copy(camera.matrixWorld).invert();
    const seen = new THREE.Box3();
    const p = new THREE.Vector3();
    for (const { hidden, mesh } of copies) {
      if (hidden) continue;
      const { min, max } = mesh.geometry.boundingBox;
      for (let i = 0; i < 8; i += 1) {
        p.set(i & 1 ? max.x : min.x, i & 2 ? max.y : min.y, i & 4 ? max.z : min.z);
        seen.expandByPoint(p.applyMatrix4(mesh.matrixWorld).applyMatrix4(inverse));
      }
    }
    if (seen.isEmpty()) return;
    const wide = camera.right - camera.left;
    const high = camera.top - camera.bottom;
    const size = seen.getSize(new THREE.Vector3());
    camera.zoom = Math.min(wide / (size.x * 1.08), high / (size.y * 1.08));
    const { x, y } = seen.getCenter(p);
    const step = new THREE.Vector3()
      .setFromMatrixColumn(camera.matrixWorld, 0)
      .multiplyScalar(x)
      .addScaledVector(new THREE.Vector3().setFromMatrixColumn(camera.matrixWorld, 1), y);
    camera.position.add(step);
    controls.target.add(step);
    camera.updateProjectionMatrix();
    controls.update();
  }

  function look(name) {
    const [, , way] = VIEWS.find(([key]) => key === name);
    const box = bounds();
    const middle = box.getCenter(new THREE.Vector3());
    const far = 4 * box.getSize(new THREE.Vector3()).length();
    const to = new THREE.Vector3(way[0] * (hand > 0 ? 1 : -1), way[1], way[2]).normalize();
    controls.target.copy(middle);
    camera.position.copy(middle).addScaledVector(to, far / 2);
    camera.near = 0.001;
    camera.far = far * 2;
    camera.lookAt(middle);
    controls.update();
    fit();
    ask();
  }

  function resize(width, height) {
    const w = Math.max(Math.round(width), 1);
    const h = Math.max(Math.round(height), 1);
    renderer.setPixelRatio(Math.min(window.devicePixelRatio || 1, 2));
    renderer.setSize(w, h, false);
    camera.left = -w / h;
    camera.right = w / h;
    camera.updateProjectionMatrix();
    draw();
  }

  function ask() {
    if (!asked && !gone) asked = requestAnimationFrame(draw);
  }

  function draw() {
    if (asked) cancelAnimationFrame(asked);
    asked = 0;
    if (gone) return;
    lights.position.copy(camera.position);
    lights.quaternion.copy(camera.quaternion);
    lamp.position.set(-0.45, 0.7, 0.6);
    lamp.target.position.set(0, 0, 0);
    const far = camera.position.distanceTo(controls.target) * 4;
    if (Math.abs(far - camera.far) > 1e-6) {
      camera.far = far;
      camera.updateProjectionMatrix();
    }
    const cuts = planes.filter((cut) => cut.on);
    const live = cuts.map((cut) => cut.plane);
    renderer.clear();
    renderer.clippingPlanes = live;
    camera.layers.enable(1);
    renderer.render(scene, camera);
    let triangles = renderer.info.render.triangles;
    camera.layers.disable(1);
    for (const cut of cuts) {
      renderer.clippingPlanes = [cut.plane];
      renderer.clearStencil();
      for (const material of counted) {
        scene.overrideMaterial = material;
        renderer.render(scene, camera);
      }
      scene.overrideMaterial = null;
      const cap = caps[cut.axis];
      cap.mesh.position.copy(controls.target).setComponent(cut.axis, cut.at);
      cap.mesh.lookAt(cap.mesh.position.clone().add(cut.plane.normal));
      cap.material.uniforms.pitch.value = 8 * renderer.getPixelRatio();
      renderer.clippingPlanes = live.filter((plane) => plane !== cut.plane);
      renderer.render(cap.only, camera);
    }
    canvas.dataset.triangles = String(triangles);
    onChange();
  }

  const ray = new THREE.Raycaster();
  const spot = new THREE.Vector2();

  // The copy under a place of the canvas (CSS pixels from its corner), or null.
  function under(x, y) {
    const box = canvas.getBoundingClientRect();
    spot.set((x / box.width) * 2 - 1, 1 - (y / box.height) * 2);
    ray.setFromCamera(spot, camera);
    const live = planes.filter((cut) => cut.on).map((cut) => cut.plane);
    const meshes = copies.filter((c) => !c.hidden).map((c) => c.mesh);
    for (const hit of ray.intersectObjects(meshes, false)) {
      if (live.every((plane) => plane.distanceToPoint(hit.point) >= 0)) return hit.object.userData.entry;
    }
    return null;
  }

  // Where the middle of a copy stands on the canvas, in CSS pixels; null where it is off the picture.
  function where(entry) {
    const p = entry.mesh.geometry.boundingBox.getCenter(new THREE.Vector3()).applyMatrix4(entry.mesh.matrixWorld);
    p.project(camera);
    if (Math.abs(p.x) > 1 || Math.abs(p.y) > 1) return null;
    const box = canvas.getBoundingClientRect();
    return [((p.x + 1) / 2) * box.width, ((1 - p.y) / 2) * box.height];
  }

  // Turn by so many radians, move by shares of the picture, or zoom by a factor: the keyboard's way.
  function turn(right, up) {
    const arm = camera.position.clone().sub(controls.target);
    const across = Math.atan2(arm.y, arm.x) - right;
    const flat = Math.hypot(arm.x, arm.y);
    const rise = Math.min(Math.max(Math.atan2(arm.z, flat) + up, -1.5707), 1.5707);
    const long = arm.length();
    arm.set(Math.cos(across) * Math.cos(rise), Math.sin(across) * Math.cos(rise), Math.sin(rise)).multiplyScalar(long);
    camera.position.copy(controls.target).add(arm);
    controls.update();
    ask();
  }

  function pan(right, up) {
    const x = new THREE.Vector3().setFromMatrixColumn(camera.matrix, 0);
    const y = new THREE.Vector3().setFromMatrixColumn(camera.matrix, 1);
    const span = (camera.top - camera.bottom) / camera.zoom;
    const step = x.multiplyScalar(right * span).add(y.multiplyScalar(up * span));
    controls.target.add(step);
    camera.position.add(step);
    controls.update();
    ask();
  }

  function zoom(factor) {
    camera.zoom = Math.min(Math.max(camera.zoom * factor, controls.minZoom), controls.maxZoom);
    camera.updateProjectionMatrix();
    controls.update();
    ask();
  }

  controls.addEventListener("change", ask);
  paint();

  return {
    load, look, fit: () => (fit(), ask()), resize, turn, pan, zoom, under, where, draw,
    copies: () => copies,
    // The picture as a data address, for print: a live canvas comes out blank on paper.
    still(width, height, inks) {
      const was = [renderer.domElement.clientWidth, renderer.domElement.clientHeight];
      const colours = shown;
      shown = inks;
      paint();
      resize(width, height);
      const address = canvas.toDataURL("image/png");
      shown = colours;
      paint();
      resize(...was);
      return address;
    },
    show(entries, hidden) {
      for (const entry of entries) {
        entry.hidden = hidden;
        dress(entry);
      }
      setPlanes();
      ask();
    },
    pick(entries, picked) {
      for (const entry of entries) {
        entry.picked = picked;
        dress(entry);
      }
      paint();
      ask();
    },
    open(name, share) {
      opened[name] = share;
      place();
    },
    pull(share) {
      apart = share;
      place();
    },
    cut(axis, { on, share, other }) {
      Object.assign(planes[axis], { on, share, other });
      setPlanes();
      ask();
      return planes[axis].at;
    },
    recolour(now) {
      shown = now;
      paint();
      ask();
    },
    close() {
      gone = true;
      if (asked) cancelAnimationFrame(asked);
      controls.dispose();
      for (const shape of shapes) for (const part of [shape.faces, shape.edges, shape.bends]) if (part) part.dispose();
      renderer.dispose();
      renderer.forceContextLoss();
    },
  };
}
