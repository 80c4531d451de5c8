import { spawn } from "node:child_process";
import { build } from "./build.mjs";
import { prepare } from "./prepare.mjs";
import { binary, exitCode, main } from "./run.mjs";

/** Like start, but what is saved in an editor is compiled and the daemon begins anew. */
await main(async (args) => {
  await prepare();
  const built = await build();
  if (built !== 0) return built;
  const demo = args.some((argument) => argument.startsWith("--port")) ? [] : ["--demo"];
  const children = [
    node(binary("tsc"), "-b", "--watch", "--preserveWatchOutput", "core", "shared", "daemon", "simulators"),
    node(binary("vite"), "build", "--watch", "--config", "kiosk-ui/vite.config.ts", "--logLevel", "warn"),
    node("--watch", "--watch-preserve-output", "dist/daemon/bakeside.cjs", "serve", ...demo, ...args),
  ];
  for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"])
    process.on(signal, () => {
      for (const child of children) child.kill(signal === "SIGINT" ? "SIGTERM" : signal);
    });
  const codes = children.map((child) => exitCode(child, "node"));
  const code = await Promise.race(codes);
  for (const child of children) child.kill("SIGTERM");
  await Promise.all(codes);
  return code;
});

function node(...args) {
  return spawn(process.execPath, args, { stdio: ["ignore", "inherit", "inherit"] });
}
