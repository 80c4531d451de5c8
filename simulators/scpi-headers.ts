/**
 * Whether a header is meant by a pattern: every node in its short form (the capitals) or its whole long form,
 * in small letters or capitals; nodes in brackets may be missing (SCPI-1999, volume 1; from memory).
 * @param header as it was written, from the root
 * @example isHeader("MEASure[:SCALar]:TEMPerature?", "meas:temp?") // true
 */
export function isHeader(pattern: string, header: string): boolean {
  const rooted = header.startsWith(":") || header.startsWith("*") ? header : `:${header}`;
  return expression(pattern).test(rooted);
}

/** The header of a unit that follows another one in the same message: relative to the other's path, unless it begins at the root. */
export function rootedHeader(header: string, path: string): string {
  if (header.startsWith("*") || path === "") return header;
  return header.startsWith(":") ? header.slice(1) : `${path}:${header}`;
}

/** Where the next header of the same message begins: all nodes but the last. */
export function pathOf(header: string): string {
  return header.replace(/^:/, "").split(":").slice(0, -1).join(":");
}

function expression(pattern: string): RegExp {
  const rooted = /^[:[*]/.test(pattern) ? pattern : `:${pattern}`;
  const parts = rooted.match(/[A-Za-z]+|[[\]:*?]/g) ?? [];
  return new RegExp(`^${parts.map(expressionOf).join("")}$`, "i");
}

function expressionOf(part: string): string {
  if (part === "[") return "(?:";
  if (part === "]") return ")?";
  if (part === ":") return ":";
  if (part === "*" || part === "?") return `\\${part}`;
  return `(?:${part.replace(/[a-z]/g, "")}|${part})`;
}
