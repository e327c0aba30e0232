// @ts-check
// The specification of the open job, made by the core, as a document to print.
import { fileName } from "./job-files.js";
import { element } from "./job-path.js";
import { handOver } from "./log-store.js";
import { part } from "./paint.js";
import { drawing } from "./tree.js";

/** @typedef {{label: string, text: string, origin?: string, sheet?: string}} Row */

/** @param {Row[]} rows @returns {HTMLElement} */
function list(rows) {
  const made = document.createElement("dl");
  made.append(...rows.map((row) => {
    const box = document.createElement("div");
    box.append(element("dt", row.sheet ? `${row.sheet}: ${row.label}` : row.label), element("dd", row.text));
    if (row.origin) box.append(element("dd", row.origin));
    return box;
  }));
  return made;
}

/** @param {string[][]} rows @returns {HTMLElement[]} */
function lines(rows) {
  return rows.map((row) => {
    const made = document.createElement("tr");
    made.append(...row.map((text) => element("td", text)));
    return made;
  });
}

export class JobSheet {
  /** @param {HTMLElement} root @param {import("./job-desk.js").Desk} desk */
  constructor(root, desk) {
    this.root = root;
    this.desk = desk;
    this.json = "";
    this.asked = 0;
  }

  open() {
    this.root.addEventListener("click", (event) => {
      const button = /** @type {HTMLElement | null} */ (/** @type {HTMLElement} */ (event.target).closest("[data-action]"));
      if (button?.dataset.action === "print") window.print();
      if (button?.dataset.action === "json") {
        if (this.json) handOver(`${fileName(this.desk.view?.title ?? "")}.specification.json`, "application/json", this.json);
        else this.say("There are no forces to write yet.");
      }
    });
    this.desk.listen(() => this.show());
    this.show();
  }

  /** @param {string} name @param {string} text */
  put(name, text) {
    part(this.root, name).textContent = text;
  }

  /** @param {string} words */
  say(words) {
    this.put("said", words);
  }

  /** @param {string} name @param {boolean} shown */
  reveal(name, shown) {
    const one = part(this.root, name);
    one.hidden = !shown;
    one.toggleAttribute("hidden", !shown); // a drawing has no such property
  }

  async show() {
    const { id, text } = this.desk;
    for (const name of ["paper", "deeds"]) this.reveal(name, Boolean(id));
    this.reveal("still", !id);
    if (!id) return;
    this.asked += 1;
    const asked = this.asked;
    this.say("The core is at work …");
    try {
      const found = await this.desk.ask("job.spec", { text });
      if (asked !== this.asked) return;
      this.paint(found);
      this.say("");
    } catch (error) {
      if (asked === this.asked) this.say(`The specification cannot be made. ${error instanceof Error ? error.message : error}`);
    }
  }

  /** @param {any} found what the core answers to job.spec */
  paint(found) {
    this.json = found.json;
    this.put("title", found.title || "A job without a title");
    this.put("mark", found.mark);
    this.put("notes", found.notes);
    this.put("late", `Out of date: ${found.late.join(", ")}. Bring the job up to date before you use this.`);
    this.reveal("late", found.late.length > 0);
    this.draw(found.drawing);
    part(this.root, "build").replaceChildren(...found.build.map((/** @type {{title: string, rows: Row[]}} */ group) => {
      const box = document.createElement("section");
      box.append(element("h3", group.title), list(group.rows));
      return box;
    }));
    this.forces(found);
    part(this.root, "margins").replaceChildren(list(found.margins));
    part(this.root, "findings").replaceChildren(...found.findings.map((/** @type {{level: string, sheet: string, text: string}} */ one) => {
      const item = element("li", ` ${one.sheet}: ${one.text}`);
      item.prepend(element("strong", one.level));
      item.dataset.level = one.level;
      return item;
    }));
    part(this.root, "cautions").replaceChildren(...found.cautions.map((/** @type {string} */ text) => element("li", text)));
    part(this.root, "assumptions").replaceChildren(...found.assumptions.flatMap(
      (/** @type {{title: string, values: string[]}} */ one) => [element("dt", one.title), element("dd", `${one.values.join("; ")}.`)]));
    part(this.root, "evidence").replaceChildren(...found.evidence.flatMap(
      (/** @type {{title: string, functions: string[]}} */ one) => [element("dt", one.title), this.links(one.functions)]));
  }

  /** @param {any} found */
  forces(found) {
    this.reveal("forces", Boolean(found.forces));
    this.reveal("forces-missing", !found.forces);
    this.put("forces-missing", found.forces_missing);
    if (!found.forces) return;
    part(this.root, "force-rows").replaceChildren(...lines(found.forces));
    this.put("speed-unit", found.speed_unit);
    for (const name of ["force-unit", "force-unit-again"]) this.put(name, found.force_unit);
    const [low, wanted, high] = found.gas ?? [];
    this.put("gas", found.gas ? `Gas force in mid-stroke, at rest: ${wanted}, from ${low} to ${high} ${found.force_unit}.` : "No gas force is specified.");
  }

  /** @param {{width: number, height: number, elements: import("./protocol.js").Tree[]} | null} drawn */
  draw(drawn) {
    const place = part(this.root, "drawing");
    this.reveal("drawing", Boolean(drawn));
    this.reveal("no-drawing", !drawn);
    if (!drawn) return;
    place.setAttribute("viewBox", `0 0 ${drawn.width} ${drawn.height}`);
    place.replaceChildren(...drawing(drawn.elements));
  }

  /** @param {string[]} names of formulas */
  links(names) {
    const formulas = /** @type {HTMLAnchorElement} */ (part(this.root, "formulas")).href;
    const made = document.createElement("dd");
    names.forEach((name, place) => {
      const link = /** @type {HTMLAnchorElement} */ (element("a", name.replace("physics.", "")));
      link.href = `${formulas}#${name}`;
      made.append(place > 0 ? ", " : "", link);
    });
    return made;
  }
}
