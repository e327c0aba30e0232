// @ts-check
// A drawing made from numbers, and its player: nothing moves before the reader asks for it.
import { part } from "./paint.js";
import { drawing } from "./tree.js";

/** @typedef {import("./protocol.js").Pictured} Pictured */

const LESS_MOTION = matchMedia("(prefers-reduced-motion: reduce)");
const MOMENT = "moment"; // the part whose words say what a frame shows

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
    this.chooseSpeed();
    this.listen();
    this.calm();
    this.prepare();
  }

  listen() {
    part(this.player, "play").addEventListener("click", () => (this.running ? this.pause() : this.play()));
    part(this.player, "back").addEventListener("click", () => this.step(-1));
    part(this.player, "on").addEventListener("click", () => this.step(1));
    this.speed.addEventListener("change", () => { if (this.running) this.play(); });
    this.place.addEventListener("input", () => {
      this.pause();
      this.show(Number(this.place.value));
    });
    document.addEventListener("visibilitychange", () => { if (document.hidden) this.pause(); });
    LESS_MOTION.addEventListener("change", () => this.calm());
  }

  get place() {
    return /** @type {HTMLInputElement} */ (part(this.player, "place"));
  }

  get speed() {
    return /** @type {HTMLSelectElement} */ (part(this.player, "speed"));
  }

  /** Start with the speed that the drawing was made for. */
  chooseSpeed() {
    const wanted = String(this.motion?.slow ?? "");
    if ([...this.speed.options].some((option) => option.value === wanted)) this.speed.value = wanted;
  }

  /** Who asks for less motion gets steps and no play. */
  calm() {
    const less = LESS_MOTION.matches;
    if (less) this.pause();
    part(this.player, "play").hidden = less;
    part(this.player, "pace").hidden = less;
    part(this.player, "still").hidden = !less;
  }

  /** @param {Pictured} pictured */
  draw(pictured) {
    this.pause();
    this.svg.setAttribute("viewBox", `0 0 ${pictured.width} ${pictured.height}`);
    const kept = [...this.svg.children].filter((child) => ["title", "desc", "defs"].includes(child.tagName));
    this.svg.replaceChildren(...kept, ...drawing(pictured.elements));
    const paced = this.motion?.slow;
    this.motion = pictured.motion;
    if (paced !== this.motion?.slow) this.chooseSpeed();
    this.prepare();
  }

  /** Find the parts that move, and show the frame where the reader was. */
  prepare() {
    const motion = this.motion;
    this.player.hidden = !motion;
    if (!motion) return;
    /** @type {[Element, string, string[]][]} */
    this.moving = Object.entries(motion.parts).flatMap(([name, changes]) => {
      const found = [...this.svg.querySelectorAll(`[data-part="${CSS.escape(name)}"]`)];
      return found.flatMap((one) => Object.entries(changes).map(
        ([attribute, values]) => /** @type {[Element, string, string[]]} */ ([one, attribute, values])));
    });
    this.frames = Math.max(1, ...this.moving.map(([, , values]) => values.length));
    this.place.max = String(this.frames - 1);
    this.show(Math.min(this.frame, this.frames - 1));
  }

  /** @param {number} frame */
  show(frame) {
    this.frame = frame;
    this.place.value = String(frame);
    const said = this.motion?.parts[MOMENT]?.text?.[frame];
    this.place.setAttribute("aria-valuetext", `${frame + 1} of ${this.frames}${said ? `: ${said}` : ""}`);
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

  /** Run round and round from the present frame. */
  play() {
    const motion = this.motion;
    if (!motion || LESS_MOTION.matches) return;
    this.pause();
    const length = motion.duration * Number(this.speed.value) * 1000;
    const start = performance.now() - (this.frame / this.frames) * length;
    part(this.player, "play").textContent = "Pause";
    /** @param {number} now */
    const next = (now) => {
      const turn = (Math.max(0, now - start) % length) / length;
      const frame = Math.floor(turn * this.frames) % this.frames;
      if (frame !== this.frame) this.show(frame);
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
