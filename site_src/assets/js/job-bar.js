// @ts-check
// The bar of the job: its name, what is filled in, undo, jobs of this browser, files and links.
import { handOver } from "./log-store.js";
import { fileName, fromLink, isLink, readFile, toLink } from "./job-files.js";
import { JobList } from "./job-list.js";
import { FULL, forget, index, stepsOf } from "./job-store.js";
import { Stopped } from "./client.js";
import { part } from "./paint.js";

const ELSEWHERE = "This job was changed in another tab; the change is shown here. What you type here comes on top of it.";

export class JobBar {
  /** @param {HTMLElement} root @param {import("./job-desk.js").Desk} desk */
  constructor(root, desk) {
    this.root = root;
    this.desk = desk;
    this.list = new JobList(root, desk);
    this.title = /** @type {HTMLInputElement} */ (part(root, "title"));
    this.notes = /** @type {HTMLTextAreaElement} */ (part(root, "notes"));
    this.file = /** @type {HTMLInputElement} */ (part(root, "file"));
    this.more = /** @type {HTMLDetailsElement} */ (part(root, "more"));
    /** Whether the next file that is chosen goes into the open job. */
    this.adding = false;
    /** @type {(() => void) | undefined} */
    this.stop = undefined;
  }

  async open() {
    this.root.hidden = false;
    this.listen();
    this.paint();
    await this.attempt(() => (isLink(location.hash) ? this.takeLink() : this.desk.start()));
    this.paint();
  }

  listen() {
    this.root.addEventListener("click", (event) => {
      const button = /** @type {HTMLElement | null} */ (/** @type {HTMLElement} */ (event.target).closest("[data-action]"));
      if (button) this.attempt(() => this.act(button.dataset.action ?? "", button.dataset.name ?? ""));
    });
    const rename = () => this.attempt(() => this.desk.change("job.name", { title: this.title.value, notes: this.notes.value }));
    this.title.addEventListener("change", rename);
    this.notes.addEventListener("change", rename);
    this.file.addEventListener("change", () => this.attempt(() => this.take(this.file.files)));
    this.root.addEventListener("dragover", (event) => event.preventDefault());
    this.root.addEventListener("drop", (event) => {
      event.preventDefault();
      this.adding = false;
      this.attempt(() => this.take(event.dataTransfer?.files ?? null));
    });
    window.addEventListener("hashchange", () => { if (isLink(location.hash)) this.attempt(() => this.takeLink()); });
    this.desk.listen((what) => {
      this.paint();
      if (what === "elsewhere") this.say(ELSEWHERE);
      else if (!this.desk.kept) this.say(FULL);
    });
  }

  /** Do it; a refusal is said, and then nothing has changed. @param {() => unknown} deed */
  async attempt(deed) {
    try {
      await deed();
    } catch (error) {
      if (error instanceof Stopped) this.say("Stopped: the job is as it was.");
      else this.say(`${error instanceof Error ? error.message : error} Nothing was changed.`);
    }
  }

  /** @param {string} words */
  say(words) {
    part(this.root, "said").textContent = words;
  }

  /** @param {string} action @param {string} name */
  async act(action, name) {
    if (action !== "import" && action !== "add") this.say("");
    if (action === "new") this.desk.create(await this.desk.ask("job.new", { title: "New job" }));
    if (action === "demo") this.desk.create(await this.desk.ask("job.demo", { name }));
    if (action === "open") await this.desk.open(name);
    if (action === "close") await this.desk.open("");
    if (action === "back" || action === "on") await this.desk.step(action);
    if (action === "bring") await this.bring();
    if (action === "stop") this.stop?.();
    if (action === "leave-out") await this.desk.change("job.remove", { sheet: name });
    if (action === "import" || action === "add") {
      this.adding = action === "add";
      this.file.click();
    }
    if (action === "export") {
      handOver(`${fileName(this.desk.view?.title ?? "")}.job.json`, "application/json", this.desk.text);
      this.say("The job is written as a file.");
    }
    if (action === "link") await this.link();
    if (action === "delete") await this.remove(name);
    if (action === "new" || action === "demo" || action === "open") this.more.open = false;
    if (action === "new") this.title.select();
  }

  /** @param {string} id */
  async remove(id) {
    const named = index().jobs.find((one) => one.id === id);
    if (!confirm(`Delete the job “${named?.title}” from this browser? A file that you have exported stays.`)) return;
    forget(id);
    if (id === this.desk.id) await this.desk.open("");
    this.paint();
    this.say("Deleted.");
  }

  async bring() {
    const box = part(this.root, "progress");
    const bar = /** @type {HTMLProgressElement} */ (box.querySelector("progress"));
    bar.removeAttribute("value");
    box.hidden = false;
    const { done, stop } = this.desk.bring((share) => { bar.value = share; });
    this.stop = stop;
    try {
      const { faults } = await done;
      const said = faults.map((/** @type {{title: string, message: string}} */ one) => `${one.title}: ${one.message}`);
      this.say(faults.length > 0 ? `Not everything could be calculated. ${said.join(" ")}` : "Everything is up to date.");
    } finally {
      box.hidden = true;
      this.stop = undefined;
    }
  }

  async link() {
    const { text } = await this.desk.ask("job.share", { text: this.desk.text });
    const fragment = await toLink(text);
    if (!fragment) {
      this.say("This job is too large for a link. Export it as a file and send that.");
      return;
    }
    const address = new URL(fragment, location.href.split("#")[0]).href;
    try {
      await navigator.clipboard.writeText(address);
      this.say("Link copied. It carries all that was typed; who opens it brings the job up to date.");
    } catch {
      history.replaceState(null, "", address);
      this.say("The link is in the address bar.");
    }
  }

  async takeLink() {
    const fragment = location.hash;
    history.replaceState(null, "", location.pathname + location.search);
    this.desk.create(await this.desk.ask("job.open", { text: await fromLink(fragment) }));
    this.say("This job came with a link. It is kept in this browser now.");
  }

  /** @param {FileList | null} files */
  async take(files) {
    const file = files?.[0];
    if (!file) return;
    try {
      const text = await readFile(file);
      if (this.adding) await this.add(text);
      else {
        this.desk.create(await this.desk.ask("job.open", { text }));
        this.say("The file is taken in as a job of its own.");
      }
    } finally {
      this.file.value = "";
    }
  }

  /** Take what was typed in another job into the open one. @param {string} other text of that job */
  async add(other) {
    const { conflicts } = await this.desk.change("job.merge", { other });
    const said = "What was typed in the file is taken into this job.";
    this.say(conflicts.length > 0 ? `${said} Where both had typed a value, yours stays. ${conflicts.join("; ")}.` : said);
  }

  paint() {
    const { view, id } = this.desk;
    const late = view?.late ?? 0;
    this.root.toggleAttribute("data-open", Boolean(id));
    for (const one of /** @type {NodeListOf<HTMLElement>} */ (this.root.querySelectorAll("[data-with]"))) {
      one.hidden = (one.dataset.with === "job") !== Boolean(id);
    }
    if (view && document.activeElement !== this.title) this.title.value = view.title;
    if (view && document.activeElement !== this.notes) this.notes.value = view.notes;
    const used = view?.sheets.length ?? 0;
    const state = part(this.root, "state");
    state.dataset.late = String(late > 0);
    state.textContent = !view ? "" : used === 0 ? "nothing filled in yet" : late > 0 ? `${late} of ${used} out of date` : `${used} up to date`;
    const steps = stepsOf(id);
    this.button("back").disabled = steps.back.length === 0;
    this.button("on").disabled = steps.on.length === 0;
    this.button("bring").hidden = late === 0;
    this.list.paint();
  }

  /** @param {string} action */
  button(action) {
    return /** @type {HTMLButtonElement} */ (this.root.querySelector(`[data-action="${action}"]`));
  }
}
