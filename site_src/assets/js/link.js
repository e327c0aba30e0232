// @ts-check
// A card's inputs in the fragment of the address: readable, and never sent to a server.
const LONGEST = 16000;
const LONGEST_VALUE = 4000;

/**
 * @param {string} sheet @param {Record<string, string>} values "350 kg", or the key of a choice
 * @returns {string} the fragment, with its #
 */
export function toFragment(sheet, values) {
  return `#${new URLSearchParams({ calculator: sheet, ...values })}`;
}

/**
 * @param {string} fragment @returns {{sheet: string, values: Map<string, string>} | null}
 * null where the fragment is no link of ours
 */
export function fromFragment(fragment) {
  if (fragment.length > LONGEST) return null;
  const values = new Map(new URLSearchParams(fragment.replace(/^#/, "")));
  const sheet = values.get("calculator");
  values.delete("calculator");
  if (!sheet || [...values.values()].some((value) => value.length > LONGEST_VALUE)) return null;
  return { sheet, values };
}

/** Put the form into the address and, where the browser lets us, on the clipboard. @param {import("./form.js").Form} form */
export async function putInAddress(form) {
  history.replaceState(null, "", toFragment(form.sheet, form.shared));
  try {
    await navigator.clipboard.writeText(location.href);
    return "Link copied.";
  } catch {
    return "The link is in the address bar.";
  }
}
