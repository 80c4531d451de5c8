import { GOOD, type Verb, write } from "#daemon/command/output";
import { daemonConfig } from "#daemon/config";
import { openLog } from "#daemon/log";
import { startDaemon } from "#daemon/main";

/** `bakeside serve …`: runs until it is told to stop, and prints the kiosk's address in one line. */
export const run: Verb = async (args, out) => {
  const config = daemonConfig(args, process.env);
  const log = openLog(config.isVerbose);
  const dieOf = (error: unknown) => {
    log.fatal({ err: error }, "an unforeseen fault; open bakes go on at the next start");
    process.exit(1);
  };
  process.on("uncaughtException", dieOf);
  process.on("unhandledRejection", dieOf);
  const told = stopSignal();
  const daemon = await startDaemon(config, log);
  const demo = config.bench ? ` (demonstration: simulated furnaces, ${config.bench.speed}× time)` : "";
  await write(out, `Bakeside: ${daemon.address}${demo}\n`);
  log.info({ signal: await told }, "stopping");
  await daemon.close();
  return GOOD;
};

/** The signal that asks us to stop; a second one stops at once. */
function stopSignal(): Promise<NodeJS.Signals> {
  return new Promise((resolve) => {
    let isTold = false;
    for (const signal of ["SIGTERM", "SIGINT", "SIGHUP"] as const)
      process.on(signal, () => {
        if (isTold) process.exit(1);
        isTold = true;
        resolve(signal);
      });
  });
}
