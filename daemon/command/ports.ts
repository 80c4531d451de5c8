import { parseArgs } from "node:util";
import { type ListedPort, listPorts, type PortFolders } from "#daemon/link/port-list";

/** Where a command writes: results to the first, messages to the second. */
interface Output {
  stdout(text: string): void;
  stderr(text: string): void;
}

/**
 * `bakeside ports [--json]`: the serial ports here, by stable name.
 * @param folders where to look, for tests
 * @returns the exit code: 0, or 2 when the call is wrong
 */
export async function runPorts(args: readonly string[], out: Output, folders?: PortFolders): Promise<number> {
  const isJson = parsedArgs(args);
  if (isJson === null) {
    out.stderr(
      `Cannot list ports with ${args.join(" ").slice(0, 80)}: the call is \`bakeside ports [--json]\`\n`,
    );
    return 2;
  }
  const ports = await listPorts(folders);
  out.stdout(isJson ? `${JSON.stringify(ports)}\n` : table(ports));
  return 0;
}

function parsedArgs(args: readonly string[]): boolean | null {
  try {
    const { values } = parseArgs({ args: [...args], options: { json: { type: "boolean", default: false } } });
    return values.json;
  } catch {
    return null;
  }
}

function table(ports: readonly ListedPort[]): string {
  if (ports.length === 0) return "No serial ports here. Plug an adapter in, or use tcp://host:port.\n";
  return ports
    .map(({ name, device, note }) => `${name}${name === device ? "" : `\n    ${device}`}\n    ${note}\n`)
    .join("");
}
