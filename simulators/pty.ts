import { type ChildProcessWithoutNullStreams, execFile, spawn } from "node:child_process";
import { once } from "node:events";
import { type Caller, type LineOut, MOST_WAITING_BYTES } from "#simulators/line-out";
import { ListenerWatch } from "#simulators/listener";

/** A pseudo-terminal held open: `path` is the end that a serial port library opens. */
export interface Pty extends LineOut {
  /** `/dev/pts/N` */
  readonly path: string;
}

/**
 * Opens a real pseudo-terminal by the util-linux program `script`, which relays its own stdin and stdout.
 * Inside it a process that never reads or writes keeps the terminal alive; it ends with this one.
 * What is written while nobody reads waits in `script` without limit: ask `isListening` first.
 * @throws Error when `script` is missing or no terminal can be had
 */
export async function openPty(): Promise<Pty> {
  const holder = `stty raw -echo && echo "$(tty) $$" && exec tail --pid=${process.pid} -f /dev/null`;
  const child = spawn("script", ["-qfc", holder, "/dev/null"], { stdio: ["pipe", "pipe", "pipe"] });
  child.stdin.on("error", () => {});
  child.stderr.resume();
  const { path, holderId } = await greeting(child);
  const ended = once(child, "exit");
  const watch = new ListenerWatch(path, [holderId, child.pid ?? holderId]);
  let isOpen = true;
  let listener: (bytes: Buffer, caller: Caller) => void = () => {};
  const write = (bytes: string | Uint8Array) => {
    if (!isOpen || child.stdin.writableLength >= MOST_WAITING_BYTES) return false;
    child.stdin.write(bytes);
    return true;
  };
  const caller: Caller = { write };
  child.stdout.on("data", (bytes: Buffer) => listener(bytes, caller));
  child.once("exit", () => {
    isOpen = false;
  });
  return {
    path,
    address: path,
    isListening: () => watch.isListening(),
    write,
    onInput(next) {
      listener = next;
    },
    farBaud: async () => (isOpen ? terminalBaud(path, watch) : null),
    async close() {
      if (isOpen) {
        isOpen = false;
        endProcess(holderId);
        child.kill("SIGKILL");
      }
      await ended;
    },
  };
}

/** The first line that comes out of the terminal: its path and the id of the process that holds it. */
function greeting(child: ChildProcessWithoutNullStreams): Promise<{ path: string; holderId: number }> {
  return new Promise((resolve, reject) => {
    let heard = "";
    const fail = (why: string) => {
      child.stdout.off("data", hear);
      child.kill("SIGKILL");
      reject(new Error(`Cannot open a pseudo-terminal: ${why}. Use --transport tcp.`));
    };
    const hear = (bytes: Buffer) => {
      heard += bytes.toString("latin1");
      if (!heard.includes("\n")) return;
      const [, path, holderId] = /^(\/dev\/\S+) (\d+)\r?\n/.exec(heard) ?? [];
      if (path === undefined) return fail("script answered something else than a terminal");
      child.stdout.off("data", hear);
      child.off("exit", leave);
      resolve({ path, holderId: Number(holderId) });
    };
    const leave = () => fail("script ended at once");
    child.stdout.on("data", hear);
    child.once("exit", leave);
    child.once("error", (error) => fail(error.message));
  });
}

/** The rate of a terminal, by the program `stty` of the coreutils; null when it cannot say. */
function terminalBaud(path: string, watch: ListenerWatch): Promise<number | null> {
  return new Promise((resolve) => {
    const { pid } = execFile("stty", ["-F", path, "speed"], { timeout: 2000 }, (error, text) => {
      if (pid !== undefined) watch.heed(pid);
      resolve(error || !/^\d+\s*$/.test(text) ? null : Number(text));
    });
    if (pid !== undefined) watch.ignore(pid);
  });
}

function endProcess(id: number): void {
  try {
    process.kill(id, "SIGKILL");
  } catch {
    // It has ended by itself.
  }
}
