// @ts-check
// A drawing made from numbers, and its player: nothing moves before the reader asks for it.
import { part } from "./paint.js";
import { drawing } from "./tree.js";

/** @typedef {import("./protocol.js").Pictured} Pictured */

export class Picture {
  /** @param {HTMLElement} figure */
  constructor(figure) {
    this.name = figure.dataset.picture ?? "";
    this.svg = /** @type {SVGSVGElement} */ (figure.querySelector("svg"));
    this.player = part(figure, "player");
    this.frame = 0;
    this.frames = 1;
    this.running = 0;
    const held = figure.querySelector("script");
    /** @type {Pictured["motion"]} */
    this.motion = held ? JSON.parse(held.textContent ?? "null") : null;
    this.listen();
    this.prepare();
  }

  listen() {
    part(this.player, "play").addEventListener("click", () => (this.running ? this.pause() : this.play()));
    part(this.player, "back").addEventListener("click", () => this.step(-1));
    part(this.player, "on").addEventListener("click", () => this.step(1));
    part(this.player, "place").addEventListener("input", () => {
      this.pause();
      this.show(Number(this.place.value));
    });
  }

  get place() {
    return /** @type {HTMLInputElement} */ (part(this.player, "place"));
  }

  /** @param {Pictured} pictured */
  draw(pictured) {
    this.pause();
    this.svg.setAttribute("viewBox", `0 0 ${pictured.width} ${pictured.height}`);
    const kept = [...this.svg.children].filter((child) => ["title", "desc", "defs"].includes(child.tagName));
    this.svg.replaceChildren(...kept, ...drawing(pictured.elements));
    this.motion = pictured.motion;
    this.prepare();
  }

  /** Find the parts that move, and show the frame where the reader was. */
  prepare() {
    const motion = this.motion;
    this.player.hidden = !motion;
    if (!motion) return;
    /** @type {[Element, string, string[]][]} */
    this.moving = Object.entries(motion.parts).flatMap(([name, changes]) => {
      const found = this.svg.querySelector(`[data-part="${CSS.escape(name)}"]`);
      return found ? Object.entries(changes).map(([attribute, values]) => /** @type {[Element, string, string[]]} */ ([found, attribute, values])) : [];
    });
    this.frames = Math.max(1, ...this.moving.map(([, , values]) => values.length));
    this.place.max = String(this.frames - 1);
    this.show(Math.min(this.frame, this.frames - 1));
  }

  /** @param {number} frame */
  show(frame) {
    this.frame = frame;
    this.place.value = String(frame);
    for (const [found, attribute, values] of this.moving ?? []) {
      if (attribute === "text") found.textContent = values[frame];
      else found.setAttribute(attribute, values[frame]);
    }
  }

  /** @param {number} by */
  step(by) {
    this.pause();
    this.show((this.frame + by + this.frames) % this.frames);
  }

  play() {
    const motion = this.motion;
    if (!motion) return;
    const slow = Number(/** @type {HTMLSelectElement} */ (part(this.player, "speed")).value) || motion.slow;
    const length = motion.duration * slow * 1000;
    const start = performance.now() - (this.frame / this.frames) * length;
    part(this.player, "play").textContent = "Pause";
    /** @param {number} now */
    const next = (now) => {
      this.show(Math.floor((((now - start) % length) / length) * this.frames) % this.frames);
      this.running = requestAnimationFrame(next);
    };
    this.running = requestAnimationFrame(next);
  }

  pause() {
    cancelAnimationFrame(this.running);
    this.running = 0;
    part(this.player, "play").textContent = "Play";
  }
}
