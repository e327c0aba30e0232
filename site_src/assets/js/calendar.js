// @ts-check
// A reminder as an iCalendar file (RFC 5545): one event that lasts all day, with an alarm at nine.

/** @typedef {{uid: string, stamp: Date, day: string, months: number, title: string, words: string}} Reminder months: 0 for once */

const LONGEST = 75; // octets of a line, RFC 5545 section 3.1
const encoder = new TextEncoder();

/** Text as section 3.3.11 wants it. @param {string} text @returns {string} */
export function escaped(text) {
  return text
    .replace(/\r\n?/g, "\n")
    .replace(/[\u0000-\u0008\u000b-\u001f\u007f]/g, "")
    .replace(/[\\;,]/g, (sign) => `\\${sign}`)
    .replaceAll("\n", "\\n");
}

/** A line cut into pieces of at most 75 octets, never inside a character. @param {string} line @returns {string} */
export function folded(line) {
  const pieces = [];
  let piece = "";
  let size = 0;
  for (const sign of line) {
    const more = encoder.encode(sign).length;
    if (size + more > LONGEST) {
      pieces.push(piece);
      piece = " ";
      size = 1;
    }
    piece += sign;
    size += more;
  }
  return [...pieces, piece].join("\r\n");
}

/** @param {Reminder} reminder @returns {string} the file */
export function calendar({ uid, stamp, day, months, title, words }) {
  const lines = [
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    "PRODID:-//Strokebook//Inspection log//EN",
    "BEGIN:VEVENT",
    `UID:${escaped(uid)}`,
    `DTSTAMP:${stamp.toISOString().replace(/[-:]|\.\d+/g, "")}`,
    `DTSTART;VALUE=DATE:${day.replaceAll("-", "")}`,
    ...(months > 0 ? [`RRULE:FREQ=MONTHLY;INTERVAL=${months}`] : []),
    `SUMMARY:${escaped(title)}`,
    `DESCRIPTION:${escaped(words)}`,
    "TRANSP:TRANSPARENT",
    "BEGIN:VALARM",
    "ACTION:DISPLAY",
    `DESCRIPTION:${escaped(title)}`,
    "TRIGGER:PT9H",
    "END:VALARM",
    "END:VEVENT",
    "END:VCALENDAR",
  ];
  return lines.map((line) => `${folded(line)}\r\n`).join("");
}
