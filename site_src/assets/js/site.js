// @ts-check
// Entry of every page: each part looks for its own marks and does nothing where there are none.
import "./main.js";
import "./job-main.js";
import "./trace-main.js";
import "./care-main.js";
import "./learn-main.js";
import "./offline.js";
