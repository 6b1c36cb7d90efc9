// The piece in space: the model that the server makes, on its wall, with a lamp that can be moved
// and its shadow. Loaded only when it is looked at; drawn only when something changed.

import {
  AmbientLight, Box3, Color, type Material, Mesh, NeutralToneMapping, Object3D, PCFShadowMap,
  PerspectiveCamera, Scene, SpotLight, Vector3, WebGLRenderer,
} from "three";
import { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";
import { GLTFLoader } from "three/examples/jsm/loaders/GLTFLoader.js";

export interface Lamp { side: number; height: number; distance: number } // −1 to 1, 0 to 1, 0 to 1

export class Space {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(32, 1, 0.05, 60);
  private readonly light = new SpotLight(0xfff2de, 60, 0, Math.PI / 3.2, 0.6, 1.6);
  private readonly controls: OrbitControls;
  private readonly watch: ResizeObserver;
  private readonly models = new Map<string, Object3D>();
  private shown: string[] = [];
  private box = new Box3();
  private waiting = 0;

  constructor(private readonly holder: HTMLElement) {
    this.renderer = new WebGLRenderer({ antialias: true });
    this.renderer.shadowMap.enabled = true;
    this.renderer.shadowMap.type = PCFShadowMap;
    this.renderer.toneMapping = NeutralToneMapping;
    this.renderer.domElement.setAttribute("aria-hidden", "true");
    holder.append(this.renderer.domElement);
    this.scene.background = new Color("#d9d3c7");
    this.light.castShadow = true;
    this.light.shadow.mapSize.set(2048, 2048);
    this.light.shadow.bias = -0.0004;
    this.light.shadow.normalBias = 0.002;
    this.scene.add(new AmbientLight(0xe9eef5, 1.1), this.light, this.light.target);
    this.controls = new OrbitControls(this.camera, this.renderer.domElement);
    this.controls.addEventListener("change", () => this.draw());
    this.watch = new ResizeObserver(() => this.fitSize());
    this.watch.observe(holder);
  }

  /** Show these models by their addresses: as drawn, as hung, or both beside each other. */
  async show(addresses: string[], lamp: Lamp): Promise<void> {
    const loader = new GLTFLoader();
    for (const address of addresses) {
      if (!this.models.has(address)) this.models.set(address, shaded((await loader.loadAsync(address)).scene));
    }
    for (const model of this.models.values()) this.scene.remove(model);
    this.shown = addresses;
    let at = 0;
    for (const address of addresses) {
      const model = this.models.get(address);
      if (!model) continue;
      const hung = pieceBox(model);
      model.position.x = at - (addresses.length > 1 ? hung.getSize(new Vector3()).x * 0.62 : 0);
      at += hung.getSize(new Vector3()).x * 1.24;
      this.scene.add(model);
    }
    const first = this.box.isEmpty();
    this.box = new Box3();
    for (const address of addresses) {
      const model = this.models.get(address);
      if (model) this.box.union(pieceBox(model));
    }
    this.fitSize();
    if (first || addresses.length > 1) this.home();
    this.lamp(lamp);
  }

  /** Move the lamp; distances are shares of the piece's own size. */
  lamp({ side, height, distance }: Lamp): void {
    const middle = this.box.getCenter(new Vector3());
    const size = this.box.getSize(new Vector3());
    const tall = Math.max(size.y, size.x);
    this.light.position.set(
      middle.x + side * tall * 1.2, middle.y + (height - 0.35) * tall * 1.3, middle.z + (0.45 + distance * 1.6) * tall,
    );
    const far = this.light.position.distanceTo(middle);
    this.light.intensity = 2.6 * Math.pow(far, 1.6); // as bright at the piece from everywhere
    this.light.angle = Math.min(1.2, Math.atan((0.85 * tall) / far)); // the shadow's pixels lie on it
    this.light.target.position.copy(middle);
    this.light.shadow.camera.near = 0.05;
    this.light.shadow.camera.far = tall * 6;
    this.draw();
  }

  /** Turn by angles (radians), or come nearer (share below 1). */
  turn(across: number, up: number, nearer = 1): void {
    const offset = this.camera.position.clone().sub(this.controls.target);
    const length = offset.length() * nearer;
    const around = Math.atan2(offset.x, offset.z) + across;
    const rise = Math.min(1.4, Math.max(-1.4, Math.asin(offset.y / offset.length()) + up));
    offset.set(Math.sin(around) * Math.cos(rise), Math.sin(rise), Math.cos(around) * Math.cos(rise));
    this.camera.position.copy(this.controls.target).addScaledVector(offset, length);
    this.controls.update();
    this.draw();
  }

  /** The piece from the front, all of it. */
  home(): void {
    const middle = this.box.getCenter(new Vector3());
    const size = this.box.getSize(new Vector3());
    const half = Math.tan((this.camera.fov * Math.PI) / 360);
    const far = (Math.max(size.y, size.x / Math.max(this.camera.aspect, 0.2)) / 2 / half) * 1.15;
    this.controls.target.copy(middle);
    this.camera.position.set(middle.x + far * 0.25, middle.y + far * 0.05, middle.z + far * 1.14);
    this.controls.update();
    this.draw();
  }

  close(): void {
    this.watch.disconnect();
    this.controls.dispose();
    this.renderer.dispose();
    this.renderer.domElement.remove();
  }

  private fitSize(): void {
    const { clientWidth, clientHeight } = this.holder;
    if (!clientWidth || !clientHeight) return;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.renderer.setSize(clientWidth, clientHeight);
    this.camera.aspect = clientWidth / clientHeight;
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  private draw(): void {
    if (this.waiting) return;
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      this.renderer.render(this.scene, this.camera);
      this.holder.dataset["drawn"] = this.shown.join(" ");
    });
  }
}

/** The box of the piece itself, without wall and cords. */
function pieceBox(model: Object3D): Box3 {
  const box = new Box3();
  model.traverse((part) => {
    if (part instanceof Mesh && !/^(wall|cord|point)/.test(part.name)) box.expandByObject(part);
  });
  return box;
}

function shaded(model: Object3D): Object3D {
  model.traverse((part) => {
    if (!(part instanceof Mesh)) return;
    part.castShadow = part.name !== "wall";
    part.receiveShadow = true;
    const material = part.material as Material;
    material.shadowSide = null;
  });
  return model;
}
