// The boat in the round, from its own parts.  If this cannot draw, the three flat views stay on the page.
import {
  AmbientLight, BufferGeometry, DirectionalLight, EdgesGeometry, Float32BufferAttribute, Group, LineBasicMaterial,
  LineSegments, Mesh, MeshLambertMaterial, OrbitControls, PerspectiveCamera, Scene, Vector3, WebGLRenderer,
} from "/static/vendor/three-round.min.js";

const stage = document.getElementById("stage");
const find = (id) => document.getElementById(id);
const TURN = Math.PI / 12;
const INK = 0x1a1a1a;
const WHITE = new MeshLambertMaterial({ color: 0xffffff, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
const NEW = new MeshLambertMaterial({ color: 0xe69f00, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
const EDGE = new LineBasicMaterial({ color: INK });

function bodyOf(part) {
  const skin = new BufferGeometry();
  skin.setAttribute("position", new Float32BufferAttribute(part.corners_mm, 3));
  skin.setIndex(part.triangles);
  const flat = skin.toNonIndexed();
  flat.computeVertexNormals();
  const group = new Group();
  group.add(new Mesh(flat, WHITE), new LineSegments(new EdgesGeometry(flat, 8), EDGE));
  group.userData = { part, away: new Vector3(...part.away_mm) };
  return group;
}

function begin(boat) {
  const renderer = new WebGLRenderer({ antialias: true, preserveDrawingBuffer: true });
  renderer.setClearColor(0xffffff, 1);
  const scene = new Scene();
  const low = new Vector3(...boat.low_mm);
  const high = new Vector3(...boat.high_mm);
  const middle = low.clone().add(high).multiplyScalar(0.5);
  const size = high.clone().sub(low).length();
  const camera = new PerspectiveCamera(28, 1, size / 50, size * 20);
  camera.up.set(0, 0, 1);
  camera.position.copy(middle).add(new Vector3(-0.95, -1.05, 0.72).multiplyScalar(size));
  scene.add(new AmbientLight(0xffffff, 1.7));
  const sun = new DirectionalLight(0xffffff, 1.5);
  sun.position.set(-0.5, -0.8, 1.6);
  scene.add(sun);
  const boatGroup = new Group();
  const bodies = boat.parts.map(bodyOf);
  boatGroup.add(...bodies);
  scene.add(boatGroup);

  const controls = new OrbitControls(camera, renderer.domElement);
  controls.target.copy(middle);
  controls.enablePan = false;
  controls.minDistance = size * 0.7;
  controls.maxDistance = size * 5;
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  let turning = !still.matches;
  let asked = false;

  function draw() {
    asked = false;
    if (turning) controls.autoRotate = true;
    controls.update();
    renderer.render(scene, camera);
    stage.dataset.drawn = "yes";
    if (turning) ask();
  }
  function ask() {
    if (!asked) {
      asked = true;
      requestAnimationFrame(draw);
    }
  }
  controls.autoRotateSpeed = 1.6;
  controls.addEventListener("change", ask);
  controls.addEventListener("start", () => setTurning(false));

  function setTurning(on) {
    turning = on;
    controls.autoRotate = on;
    find("turning").textContent = on ? "Stop turning" : "Turn by itself";
    ask();
  }

  function fit() {
    const width = stage.clientWidth;
    const height = Math.round(Math.min(width * 0.72, innerHeight * 0.7));
    renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    renderer.setSize(width, height);
    camera.aspect = width / height;
    camera.fov = camera.aspect < 1.2 ? 36 : 28;
    camera.updateProjectionMatrix();
    ask();
  }

  function show() {
    const number = Number(find("step").value);
    const apart = Number(find("apart").value) / 100;
    const step = boat.steps[number - 1];
    const whole = number > boat.steps.length;
    const fresh = [];
    const down = !whole && step.deck_down; // as it lies on the table
    boatGroup.rotation.x = down ? Math.PI : 0;
    boatGroup.position.set(0, down ? 2 * middle.y : 0, down ? 2 * middle.z : 0);
    for (const body of bodies) {
      const { part, away } = body.userData;
      const isNew = part.step === number;
      if (isNew) fresh.push(part.part);
      body.visible = part.step <= number;
      body.children[0].material = isNew ? NEW : WHITE;
      const lift = whole ? 2.2 * apart : isNew ? 1.1 * apart : 0;
      body.position.copy(away).multiplyScalar(lift);
    }
    find("step-says").textContent = whole ? `The whole boat: ${boat.parts.length} parts.`
      : `Step ${number} of ${boat.steps.length}: ${step.title}. New, in orange: ${fresh.join(", ")}.${down ? " The boat lies on its deck." : ""}`;
    ask();
  }

  function turn(around, over) {
    setTurning(false);
    const arm = camera.position.clone().sub(controls.target);
    const far = arm.length();
    const level = Math.atan2(arm.y, arm.x) + around;
    const lift = Math.min(1.5, Math.max(-1.5, Math.asin(arm.z / far) + over));
    camera.position.copy(controls.target).add(new Vector3(
      far * Math.cos(lift) * Math.cos(level), far * Math.cos(lift) * Math.sin(level), far * Math.sin(lift)));
    ask();
  }
  function nearer(by) {
    const arm = camera.position.clone().sub(controls.target);
    arm.setLength(Math.min(controls.maxDistance, Math.max(controls.minDistance, arm.length() * by)));
    camera.position.copy(controls.target).add(arm);
    ask();
  }
  const acts = {
    ArrowLeft: () => turn(-TURN, 0), ArrowRight: () => turn(TURN, 0), ArrowUp: () => turn(0, TURN),
    ArrowDown: () => turn(0, -TURN), "+": () => nearer(0.85), "=": () => nearer(0.85), "-": () => nearer(1.18),
  };
  stage.addEventListener("keydown", (event) => {
    const act = acts[event.key];
    if (act && !event.ctrlKey && !event.metaKey && !event.altKey) {
      event.preventDefault();
      act();
    }
  });
  for (const button of document.querySelectorAll("[data-act]")) {
    button.addEventListener("click", () => acts[button.dataset.act]());
  }
  find("turning").addEventListener("click", () => setTurning(!turning));
  find("step").addEventListener("input", show);
  find("apart").addEventListener("input", show);
  new ResizeObserver(fit).observe(stage);
  renderer.domElement.setAttribute("aria-hidden", "true");
  stage.append(renderer.domElement);
  find("round").hidden = false;
  setTurning(turning);
  fit();
  show();
}

try {
  const answer = await fetch(stage.dataset.solids);
  if (!answer.ok) throw new Error(answer.statusText);
  begin(await answer.json());
} catch {
  find("round").hidden = true;
  find("no-round").hidden = false;
  stage.dataset.drawn = "no";
}
