// @ts-check
// Print the theme's style sheets without the rules that no page and no script can ask for.
// Arguments: the npm package purgecss, the folder of pages and scripts, that of the core, then the sheets.
import { createRequire } from "node:module";
import { argv, stdout } from "node:process";

const [library, site, core, ...css] = argv.slice(2);
const { PurgeCSS } = createRequire(import.meta.url)(library);
const content = [`${site}/**/*.html`, `${site}/**/*.js`, `${core}/**/*.py`];
const safelist = { variables: ["--md-hue"] }; // one sheet names it, the other asks for it
const sheets = await new PurgeCSS().purge({ content, css, variables: true, keyframes: true, safelist });
stdout.write(sheets.map((sheet) => sheet.css).join("\n"));
