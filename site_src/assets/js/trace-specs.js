// @ts-check
// Where the specification comes from: the invented demo, the open job, a file, or nowhere.
import { readFile } from "./job-files.js";
import { index, textOf } from "./job-store.js";
import { part } from "./paint.js";

/** @typedef {{title: string, specification: string, job: string}} Specified */

const NONE = { title: "", specification: "", job: "" };

export class Specs {
  /** @param {HTMLElement} root @param {import("./trace-read.js").Ask} ask @param {() => void} changed */
  constructor(root, ask, changed) {
    this.ask = ask;
    this.said = part(root, "specified");
    this.source = /** @type {HTMLSelectElement} */ (part(root, "source"));
    /** @type {Specified | undefined} */
    this.file = undefined;
    /** @type {Specified | undefined} */
    this.found = undefined;
    this.source.addEventListener("change", () => {
      this.found = undefined;
      changed();
    });
    const open = textOf(index().open);
    if (open) this.offer("job");
  }

  /** @param {string} key of a source, to be chosen */
  offer(key) {
    const option = [...this.source.options].find((one) => one.value === key);
    if (option) option.hidden = false;
    this.source.value = key;
  }

  /** @returns {Promise<Specified>} */
  async current() {
    if (!this.found) {
      this.found = await this.read();
      this.said.textContent = this.found.title;
    }
    return this.found;
  }

  /** @returns {Promise<Specified>} */
  async read() {
    const source = this.source.value;
    if (source === "none") return NONE;
    if (source === "file" && this.file) return this.file;
    if (source === "job") return this.ask("trace.specification", { text: textOf(index().open) });
    return this.ask("trace.demo", {});
  }

  /** @param {File} file a specification or a job */
  async take(file) {
    this.file = await this.ask("trace.specification", { text: await readFile(file) });
    this.found = undefined;
    this.offer("file");
  }
}
