import { spawn } from "node:child_process";
import { build } from "./build.mjs";
import { prepare } from "./prepare.mjs";
import { canRun, exitCode, main, passSignals } from "./run.mjs";

/** From a fresh clone to a live kiosk; without `--port` or `--no-demo` a simulated bench is practised on. */
await main(async (args) => {
  await prepare();
  const built = await build();
  if (built !== 0) return built;
  const daemon = spawn(process.execPath, ["dist/daemon/bakeside.cjs", "serve", ...serveArguments(args)], {
    stdio: ["inherit", "pipe", "inherit"],
  });
  passSignals(daemon);
  openFirstAddress(daemon, !args.includes("--no-open"));
  return exitCode(daemon, "the daemon");
});

function serveArguments(args) {
  const own = args.filter((argument) => argument !== "--no-open" && argument !== "--no-demo");
  const hasPort = own.some((argument) => argument === "--port" || argument.startsWith("--port="));
  return hasPort || own.includes("--demo") || args.includes("--no-demo") ? own : ["--demo", ...own];
}

/** Shows what the daemon prints, and the first address in it also in a browser where there is a display. */
function openFirstAddress(daemon, mayOpen) {
  let heard = "";
  const hasDisplay = process.env.DISPLAY || process.env.WAYLAND_DISPLAY;
  let isWaiting = Boolean(mayOpen && hasDisplay && canRun("xdg-open"));
  daemon.stdout.on("data", (bytes) => {
    process.stdout.write(bytes);
    if (!isWaiting) return;
    heard += bytes;
    const [address] = /http:\/\/[^\s"]+(?=\s)/.exec(heard) ?? [];
    if (!address) return;
    isWaiting = false;
    const browser = spawn("xdg-open", [address], { stdio: "ignore", detached: true });
    browser.on("error", () => {});
    browser.unref();
  });
}
