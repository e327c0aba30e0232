// @ts-check
// What scrolls sideways in a box of its own must be reachable without a mouse.
const BOXES = ".md-typeset__scrollwrap, .sb-step__line";

/** @param {ParentNode} root  where something was shown, or changed its width */
export function makeReachable(root) {
  for (const box of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll(BOXES))) {
    if (box.closest("details:not([open])")) continue; // seen by nobody; to measure it costs time
    if (box.scrollWidth > box.clientWidth) box.tabIndex = 0;
    else box.removeAttribute("tabindex");
  }
}
