import { spawn } from "node:child_process";
import { build, copyAssets } from "./build.mjs";
import { prepare } from "./prepare.mjs";
import { binary, exitCode, main } from "./run.mjs";

/** Like start, but what is saved in an editor is compiled, and the daemon begins anew; reload the page by hand. */
await main(async (args) => {
  await prepare();
  const built = await build();
  if (built !== 0) return built;
  copyAssets();
  const demo = args.some((argument) => argument.startsWith("--port")) ? [] : ["--demo"];
  const children = [
    node(binary("tsc"), "-b", "--watch", "--preserveWatchOutput", "core", "shared", "daemon", "simulators"),
    node(binary("vite"), "build", "--watch", "--config", "kiosk-ui/vite.config.ts", "--logLevel", "warn"),
    node("--watch", "--watch-preserve-output", "dist/daemon/bakeside.cjs", "serve", ...demo, ...args),
  ];
  for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"]) process.on(signal, () => children.forEach(end));
  const codes = children.map((child) => exitCode(child, "node"));
  const code = await Promise.race(codes);
  children.forEach(end);
  await Promise.all(codes);
  return code;
});

/** A program in a process group of its own: the compiler is a child of the one that we start. */
function node(...args) {
  return spawn(process.execPath, args, { stdio: ["ignore", "inherit", "inherit"], detached: true });
}

function end({ pid }) {
  try {
    process.kill(-pid, "SIGTERM");
  } catch {
    // The group has ended.
  }
}
