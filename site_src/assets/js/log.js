// @ts-check
// The inspection log in the page: write, list, delete, export, import, remind.
import { calendar } from "./calendar.js";
import { faultOf, freshId, isDay, merged, plainDistance, readLog, sorted, toCsv, today, writeLog } from "./log-entry.js";
import { KEY, handOver, load, save } from "./log-store.js";
import { part } from "./paint.js";

/** @typedef {import("./log-entry.js").Entry} Entry */

const FOUND = "#finding=";

export class Log {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.form = /** @type {HTMLFormElement} */ (part(root, "form"));
    this.reminder = /** @type {HTMLFormElement} */ (part(root, "reminder"));
    /** @type {Entry[]} */
    this.entries = [];
    /** What the storage held where it could not be read. */
    this.damaged = "";
    /** Name of the entry that is being written; it is used again until the entry is kept. */
    this.draft = freshId();
  }

  open() {
    for (const one of this.root.querySelectorAll("fieldset")) one.disabled = false;
    part(this.root, "still").hidden = true;
    this.form.addEventListener("submit", (event) => { event.preventDefault(); this.add(); });
    this.reminder.addEventListener("submit", (event) => { event.preventDefault(); this.remind(); });
    this.root.addEventListener("click", (event) => this.clicked(/** @type {HTMLElement} */ (event.target)));
    const file = /** @type {HTMLInputElement} */ (part(this.root, "file"));
    file.addEventListener("change", () => this.take(file));
    this.field("date").value = today();
    this.read();
    window.addEventListener("storage", ({ key }) => { if (key === KEY) this.read(); });
    if (location.hash.startsWith(FOUND)) this.prefill(location.hash.slice(FOUND.length));
  }

  read() {
    const { entries, reason, raw } = load();
    this.entries = entries;
    this.damaged = raw && reason ? raw : "";
    this.say(reason);
    this.paint();
  }

  /** An outcome of the guided check, on its way into the log. @param {string} text */
  prefill(text) {
    try {
      this.field("finding").value = decodeURIComponent(text).slice(0, 200);
    } catch {
      return; // not made by the guided check
    }
    history.replaceState(null, "", location.pathname + location.search);
    this.field("vehicle").focus();
  }

  /** @param {string} name @param {HTMLFormElement} [form] @returns {HTMLInputElement} */
  field(name, form = this.form) {
    return /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
  }

  /** @param {string} words @param {string} [name] */
  say(words, name = "said") {
    part(this.root, name).textContent = words;
  }

  add() {
    /** @param {string} name */
    const text = (name) => this.field(name).value.trim();
    const entry = {
      id: this.draft, date: text("date"), vehicle: text("vehicle"), position: text("position"),
      distance: plainDistance(text("distance")), unit: text("unit"), finding: text("finding"), note: text("note"),
    };
    const fault = faultOf(entry);
    if (fault) this.say(fault);
    else if (this.keep(merged([entry], this.entries))) {
      this.draft = freshId();
      this.field("finding").value = "";
      this.field("note").value = "";
      this.say("Written into the log on this device.");
    }
  }

  /** @param {Entry[]} entries @returns {boolean} whether they are in the storage; if not, the typed text stays */
  keep(entries) {
    const reason = this.damaged ? "The damaged log is in the way. Export it as JSON, then delete it." : save(entries);
    if (!this.damaged) this.entries = entries;
    this.paint();
    this.say(reason);
    return reason === "";
  }

  /** @param {HTMLElement} target */
  clicked(target) {
    const button = /** @type {HTMLElement | null} */ (target.closest("[data-action]"));
    const action = button?.dataset.action;
    if (action === "csv") handOver(`inspection-log-${today()}.csv`, "text/csv", toCsv(sorted(this.entries)));
    if (action === "json") handOver(`inspection-log-${today()}.json`, "application/json", this.damaged || writeLog(this.entries));
    if (action === "import") part(this.root, "file").click();
    if (action === "print") window.print();
    if (action === "delete" && confirm("Delete this entry?")) {
      const id = button?.closest("tr")?.dataset.id;
      if (this.keep(this.entries.filter((entry) => entry.id !== id))) this.say("Deleted.");
    }
    if (action === "clear" && confirm("Delete the whole log on this device?")) {
      this.damaged = "";
      if (this.keep([])) this.say("The log is empty.");
    }
  }

  /** @param {HTMLInputElement} input */
  async take(input) {
    const file = input.files?.[0];
    if (!file) return;
    const { entries, reason } = readLog(await file.text());
    input.value = "";
    const before = this.entries.length;
    if (reason) this.say(`${reason} Nothing was changed.`);
    else if (this.keep(merged(this.entries, entries))) this.say(`${this.entries.length - before} new entries taken in.`);
  }

  remind() {
    const day = this.field("day", this.reminder).value;
    const title = this.field("title", this.reminder).value.trim() || "Look at the dampers";
    if (!isDay(day)) {
      this.say("Choose the day of the reminder.", "reminded");
      return;
    }
    const months = Number(this.field("months", this.reminder).value);
    const words = "Let the dampers cool. Look for oil, play, dents and loose bolts. The manual wins.";
    const uid = `${freshId()}-strokebook`;
    handOver(`damper-reminder-${day}.ics`, "text/calendar", calendar({ uid, stamp: new Date(), day, months, title, words }));
    this.say("The calendar file is made. Open it to put the reminder into your calendar.", "reminded");
  }

  paint() {
    const template = /** @type {HTMLTemplateElement} */ (part(this.root, "row"));
    part(this.root, "rows").replaceChildren(...sorted(this.entries).map((entry) => {
      const row = /** @type {HTMLElement} */ (document.importNode(template.content, true).firstElementChild);
      row.dataset.id = entry.id;
      for (const [name, text] of Object.entries(entry)) {
        const cell = row.querySelector(`[data-cell="${name}"]`);
        if (cell) cell.textContent = name === "distance" && text ? `${text}\u00a0${entry.unit}` : text;
      }
      return row;
    }));
    part(this.root, "table").hidden = this.entries.length === 0;
    part(this.root, "empty").hidden = this.entries.length > 0;
  }
}
