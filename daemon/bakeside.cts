#!/usr/bin/env node
// Nothing is imported before this line: the pool takes its size from the environment at its first use, and
// serial reads wait behind slow queries when it is small.
process.env.UV_THREADPOOL_SIZE ??= "16";

/** A real import: the compiler would write a require, which cannot load our modules before Node 20.19. */
const importUnchanged: (
  specifier: string,
) => Promise<typeof import("#daemon/command/command-line", { with: { "resolution-mode": "import" }})> =
  new Function("specifier", "return import(specifier)") as never;

const [major = 0, minor = 0] = process.versions.node.split(".").map(Number);

if (major < 20 || (major === 20 && minor < 12)) {
  process.stderr.write(
    `bakeside needs Node 20.12 or later; this is ${process.versions.node}. Install a newer one.\n`,
  );
  process.exitCode = 2;
} else {
  void importUnchanged("#daemon/command/command-line").then(({ runAsProgram }) => runAsProgram());
}
