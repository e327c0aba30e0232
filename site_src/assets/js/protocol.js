// @ts-check
// What page and worker say to each other: plain JSON, one reply for each request. A piece of a file goes as it is.

/**
 * @typedef {{piece?: ArrayBuffer, [name: string]: any}} Arguments  plain JSON but for the piece, which changes hands
 * @typedef {{id: number, op: string, args: Arguments}} Request
 * @typedef {{id: number, ok: true, value: any} | {id: number, ok: false, error: string, dead?: boolean}} Reply
 *
 * Before the reply to a long request, now and then: the share of the work that is done, 0 to 1.
 * @typedef {{id: number, share: number}} Progress
 *
 * The form as it stands.
 * @typedef {{sheet: string, texts: Record<string, string>, units: Record<string, string>, imperial: boolean}} Form
 *
 * A tree of elements: tag, optional attributes, children.
 * @typedef {[string, ...(string | Record<string, string> | Tree)[]]} Tree
 *
 * @typedef {{level: string, text: string}} Finding
 * @typedef {{label: string, symbols: Tree, numbers: Tree, also: string, function: string, references: string[]}} Step
 * @typedef {{label: string, symbol: Tree | null, unit: string}} Column
 * @typedef {{name: string, title: string, columns: Column[], rows: string[][]}} Table
 * @typedef {{
 *   inputs: Record<string, {text: string, unit: string, range: string, key?: string, columns?: string[]}>,
 *   outputs: Record<string, {text: string, unit: string, value: number | null}>,
 *   findings: Finding[], steps: Step[], tables: Table[]
 * }} View
 * @typedef {{inputs: string[], message: string}} Fault
 * @typedef {{errors: Fault[], result?: View}} Evaluation
 * @typedef {{x: number, y: number, label: string}} Place
 * @typedef {{name: string, key: string, columns: string[], data: Record<string, Place[]>, spec: object}} Drawn
 * @typedef {{duration: number, slow: number, parts: Record<string, Record<string, string[]>>}} Motion
 * @typedef {{name: string, width: number, height: number, elements: Tree[], motion: Motion | null}} Pictured
 * @typedef {{charts: Drawn[], pictures: Pictured[]}} Visual
 */

/** The first question to a worker: say when Python has started, and whether from a snapshot. */
export const START = "start";
