// @ts-check
// The charts and drawings of one card.
import { Chart, chartLibrary } from "./chart.js";
import { Picture } from "./picture.js";

export class Visuals {
  /** @param {HTMLElement} card @param {() => void} resized  charts that were redrawn stand in another width now */
  constructor(card, resized) {
    const found = (/** @type {string} */ selector) => /** @type {HTMLElement[]} */ ([...card.querySelectorAll(selector)]);
    this.charts = found("[data-chart]").map((figure) => new Chart(figure));
    this.pictures = found("[data-picture]").map((figure) => new Picture(figure));
    const sizes = new ResizeObserver((entries) => {
      const before = this.width;
      for (const { target, contentRect } of entries) {
        const chart = this.charts.find(({ figure }) => figure === target);
        if (chart) chart.width = Math.round(contentRect.width);
      }
      if (this.redrawn && this.width !== before) resized();
    });
    /** @type {Promise<void>} */
    this.shown = Promise.resolve();
    for (const { figure } of this.charts) sizes.observe(figure);
  }

  get any() {
    return this.charts.length + this.pictures.length > 0;
  }

  /** Whether a chart has been redrawn, so that it must follow the width of the page. */
  get redrawn() {
    return this.charts.some((chart) => chart.key);
  }

  /** Width in px for which charts are to be drawn. */
  get width() {
    return Math.max(100, ...this.charts.map((chart) => chart.width));
  }

  /** Fetch the chart library before it is needed. */
  warm() {
    if (this.charts.length > 0) chartLibrary().catch(() => undefined);
  }

  /** Show one after the other. @param {import("./protocol.js").Visual} visual @returns {Promise<void>} */
  show(visual) {
    this.shown = this.shown.catch(() => undefined).then(() => this.put(visual));
    return this.shown;
  }

  /** @param {import("./protocol.js").Visual} visual */
  async put(visual) {
    for (const pictured of visual.pictures) {
      this.pictures.find((picture) => picture.name === pictured.name)?.draw(pictured);
    }
    for (const drawn of visual.charts) {
      await this.charts.find((chart) => chart.name === drawn.name)?.show(drawn);
    }
  }
}
