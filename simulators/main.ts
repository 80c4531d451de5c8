import { Bench } from "#simulators/bench";
import { commandLines, parseBenchCommand } from "#simulators/commands";
import { historyBakes } from "#simulators/history";
import { type BenchOptions, parseBenchOptions } from "#simulators/options";

const parsed = parseBenchOptions(process.argv.slice(2));
if (!parsed.ok) {
  complain(parsed.message);
  process.exitCode = 2;
} else if (parsed.options.history !== undefined) {
  for (const bake of historyBakes(parsed.options)) print({ bake });
} else {
  await runBench(parsed.options);
}

/** Opens the bench, says where it speaks, and does what standard input says until that ends or a signal comes. */
async function runBench(options: BenchOptions): Promise<void> {
  const stopped = new Promise<void>((resolve) => {
    for (const signal of ["SIGTERM", "SIGINT", "SIGHUP"] as const) process.once(signal, () => resolve());
    process.stdout.once("error", () => resolve());
  });
  const bench = await Bench.open(options);
  for (const port of bench.ports) print(port);
  bench.run();
  print({ ready: true });
  await Promise.race([obey(bench), stopped]);
  await bench.close();
  process.stdin.destroy();
}

async function obey(bench: Bench): Promise<void> {
  for await (const line of commandLines(process.stdin)) {
    const command = parseBenchCommand(line);
    const refusal = command.ok ? await bench.perform(command.command) : command.message;
    if (refusal !== null) complain(refusal);
  }
}

function print(message: object): void {
  process.stdout.write(`${JSON.stringify(message)}\n`);
}

function complain(message: string): void {
  process.stderr.write(`${message}\n`);
}
