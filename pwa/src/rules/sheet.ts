/** Sheets of rows (RFC 4180) as the core writes and reads them. */

/** One line of a sheet: the names of the columns, and the row's cells under them. */
export function sheetOf(cells: Record<string, string>): string {
  const names = Object.keys(cells).filter((name) => cells[name]?.trim() !== "");
  return `${names.join(",")}\n${names.map((name) => quoted(guarded(cells[name] ?? ""))).join(",")}\n`;
}

/** The rows of a sheet by the names in its first line. */
export function readSheet(text: string): Record<string, string>[] {
  const [names = [], ...lines] = linesOf(text);
  return lines.map((cells) => Object.fromEntries(names.map((name, at) => [name, unguarded(cells[at] ?? "")])));
}

function linesOf(text: string): string[][] {
  const lines: string[][] = [];
  let line: string[] = [];
  for (const [, plain, inQuotes, end] of text.matchAll(/(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r?\n|$)/g)) {
    line.push(plain === undefined ? (inQuotes ?? "") : plain.replaceAll('""', '"'));
    if (end !== ",") {
      if (line.length > 1 || line[0] !== "") lines.push(line);
      line = [];
    }
  }
  return lines;
}

function quoted(cell: string): string {
  return `"${cell.replaceAll('"', '""')}"`;
}

/** What a spreadsheet would take for a formula has ' before it. */
function guarded(cell: string): string {
  return /^(?:[=+\-@\t\r]|'[=+\-@\t\r'])/.test(cell) ? `'${cell}` : cell;
}

function unguarded(cell: string): string {
  return /^'[=+\-@\t\r']/.test(cell) ? cell.slice(1) : cell;
}
