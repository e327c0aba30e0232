// @ts-check
// Entry of the learn path: the questions of a module, the list of modules, the training record. On other pages it does nothing.

/** @param {string} name @returns {HTMLElement | null} */
const find = (name) => document.querySelector(`[data-learn="${name}"]`);

const module = find("module");
if (module) import("./learn-module.js").then(({ Module }) => new Module(module).open());

const modules = find("modules");
if (modules) import("./learn-modules.js").then(({ follow }) => follow(modules));

const record = find("record");
if (record) import("./learn-sheet.js").then(({ RecordSheet }) => new RecordSheet(record).open());
