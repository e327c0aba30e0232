// @ts-check
// The guided check: of all questions in the page it shows one, with Back and Restart. The address holds the path.
import { fragmentOf, pathOf, summary, textOf } from "./check-path.js";
import { today } from "./log-entry.js";
import { part } from "./paint.js";

export class Check {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.steps = /** @type {HTMLElement[]} */ ([...root.querySelectorAll("[data-step]")]);
    this.topics = /** @type {HTMLElement[]} */ ([...root.querySelectorAll("[data-topic]")]);
    this.path = pathOf(root, location.hash);
    this.whole = false;
  }

  /** Take over the printed page. */
  open() {
    this.root.dataset.live = "";
    part(this.root, "bar").hidden = false;
    this.root.addEventListener("click", (event) => this.clicked(event));
    window.addEventListener("hashchange", () => this.moved());
    this.show();
    if (this.path.given.length > 0) this.attend();
  }

  /** @param {MouseEvent} event */
  clicked(event) {
    const touched = /** @type {HTMLElement} */ (event.target);
    const answer = /** @type {HTMLAnchorElement | null} */ (touched.closest("a[data-key]"));
    if (answer && !this.whole && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
      event.preventDefault();
      this.go([...this.path.given, { step: this.path.step, answer }]);
    }
    const button = /** @type {HTMLElement | null} */ (touched.closest("[data-action]"));
    if (button) this.act(button.dataset.action ?? "");
  }

  /** @param {string} action */
  act(action) {
    if (action === "back") this.back();
    if (action === "restart") this.go([]);
    if (action === "whole") this.toggle();
    if (action === "print") window.print();
    if (action === "copy") this.copy();
  }

  /** @param {import("./check-path.js").Given[]} given */
  go(given) {
    history.pushState({ pushed: true }, "", fragmentOf(given) || location.pathname + location.search);
    this.moved();
  }

  /** One answer back: the browser's own way back where we made the step. */
  back() {
    if (history.state?.pushed) {
      history.back();
      return;
    }
    const earlier = fragmentOf(this.path.given.slice(0, -1));
    history.replaceState(null, "", earlier || location.pathname + location.search);
    this.moved();
  }

  /** The address says another path. */
  moved() {
    this.path = pathOf(this.root, location.hash);
    this.whole = false;
    this.show();
    this.attend();
  }

  /** All questions, or one. */
  toggle() {
    this.whole = !this.whole;
    this.show();
    part(this.root, "whole").focus();
  }

  show() {
    const { step, given } = this.path;
    for (const one of this.steps) one.hidden = !this.whole && one !== step;
    for (const topic of this.topics) {
      topic.hidden = !this.whole && !topic.contains(step);
      this.placeFigure(topic, step);
    }
    this.root.toggleAttribute("data-whole", this.whole);
    /** @type {HTMLButtonElement} */ (part(this.root, "back")).disabled = given.length === 0 || this.whole;
    /** @type {HTMLButtonElement} */ (part(this.root, "restart")).disabled = given.length === 0 || this.whole;
    part(this.root, "whole").textContent = this.whole ? "One question at a time" : "Show every question";
    this.showSummary();
  }

  /** A topic has one drawing: it stands at the question that is asked, or at the outcome. @param {HTMLElement} topic @param {HTMLElement} step */
  placeFigure(topic, step) {
    const figure = topic.querySelector("figure");
    const shown = topic.contains(step) && !this.whole ? step : topic;
    const place = shown.querySelector("[data-slot=figure]");
    if (figure && place) place.append(figure);
  }

  showSummary() {
    const { step } = this.path;
    const box = part(this.root, "summary");
    box.hidden = this.whole || step.dataset.verdict === undefined;
    if (box.hidden) return;
    part(box, "text").textContent = summary(this.path, today());
    part(box, "said").textContent = "";
    const link = /** @type {HTMLAnchorElement} */ (part(box, "log"));
    link.hash = `finding=${encodeURIComponent(`${textOf(step, "verdict")}: ${textOf(step, "name")}`)}`;
  }

  /** Bring the reader, and a screen reader, to what is asked now. */
  attend() {
    const heading = /** @type {HTMLElement} */ (this.path.step.querySelector("[data-part=heading]"));
    heading.focus({ preventScroll: true });
    this.root.scrollIntoView({ block: "start" });
    const { length } = this.path.given;
    const outcome = this.path.step.dataset.verdict !== undefined;
    part(this.root, "spoken").textContent = outcome ? `Outcome after ${length} answers.` : `Question ${length + 1}.`;
  }

  async copy() {
    const box = part(this.root, "summary");
    try {
      await navigator.clipboard.writeText(part(box, "text").textContent ?? "");
      part(box, "said").textContent = "Copied.";
    } catch {
      getSelection()?.selectAllChildren(part(box, "text"));
      part(box, "said").textContent = "The text is marked: copy it by hand.";
    }
  }
}
