import type { IncomingHttpHeaders } from "node:http";

const LOOPBACK = new Set(["localhost", "127.0.0.1", "[::1]"]);

/**
 * Why a request may not come from our own page on this machine; null when it may.
 * A name that leads to the loopback by somebody else's DNS is not ours, nor is a page of another origin.
 * @param changes true when the request changes something, or opens a socket
 */
export function strangerRefusal(headers: IncomingHttpHeaders, changes: boolean): string | null {
  const { host = "", origin } = headers;
  if (!LOOPBACK.has(hostName(host)))
    return "This kiosk answers on this machine only: open it as http://localhost or http://127.0.0.1.";
  const site = headers["sec-fetch-site"];
  const isForeign =
    (origin !== undefined && origin.toLowerCase() !== `http://${host.toLowerCase()}`) ||
    (site !== undefined && site !== "same-origin" && site !== "none");
  return changes && isForeign ? "Only the kiosk's own page may change something here." : null;
}

function hostName(host: string): string {
  return /^(\[[^\]]*\]|[^:]*)(?::\d{1,5})?$/.exec(host)?.[1]?.toLowerCase() ?? "";
}
