import { GOOD, type Verb, write } from "#daemon/command/output";
import { programVersion } from "#daemon/program";

/** `bakeside version` */
export const run: Verb = async (_args, out) => {
  await write(out, `${programVersion()}\n`);
  return GOOD;
};
