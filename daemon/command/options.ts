import { type ParseArgsConfig, parseArgs } from "node:util";
import { cellNumber } from "#daemon/command/cells";
import { DaemonError } from "#daemon/errors";

type Options = NonNullable<ParseArgsConfig["options"]>;

/** A call as it was understood. */
export type Call<O extends Options> = ReturnType<
  typeof parseArgs<{ args: string[]; options: O; allowPositionals: true; strict: true }>
>;

/**
 * The options and the plain words of a call.
 * @param words how many plain words the verb wants, and what they are called
 * @throws DaemonError `input-refused`, one line
 */
export function callOptions<O extends Options>(
  verb: string,
  args: readonly string[],
  options: O,
  words: readonly string[] = [],
): Call<O> {
  const call = understood(verb, args, options);
  if (call.positionals.length < words.length)
    throw wrongCall(verb, `${words[call.positionals.length]} is missing`);
  if (call.positionals.length > words.length)
    throw wrongCall(verb, `"${call.positionals[words.length]}" is one word too many`);
  return call;
}

/**
 * A number given as an option, written as in a table's cell: no `0x10`.
 * @throws DaemonError `input-refused` when it is no number or outside its range
 */
export function numberOption(
  verb: string,
  name: string,
  text: string,
  range: { readonly from: number; readonly to: number },
): number {
  const value = cellNumber(text.trim(), false);
  if (value === null || value < range.from || value > range.to)
    throw wrongCall(verb, `--${name} takes a number from ${range.from} to ${range.to}, not "${text}"`);
  return value;
}

/** A call that cannot be carried out as it was written. */
export function wrongCall(verb: string, why: string, cause?: unknown): DaemonError {
  return new DaemonError("input-refused", `bakeside ${verb}: ${why}. See: bakeside help`, cause);
}

function understood<O extends Options>(verb: string, args: readonly string[], options: O): Call<O> {
  try {
    const joined = negativeNumbersJoined(args, options);
    return parseArgs({ args: joined, options, allowPositionals: true, strict: true });
  } catch (error) {
    throw wrongCall(verb, sayWhy(error), error);
  }
}

/** `--cold -5` as `--cold=-5`: node takes a value that begins with a dash for another option. */
function negativeNumbersJoined(args: readonly string[], options: Options): string[] {
  const joined: string[] = [];
  for (const arg of args) {
    const before = joined.at(-1) ?? "";
    const takesValue = options[before.replace(/^--/, "")]?.type === "string" && before.startsWith("--");
    if (takesValue && /^-[.\d]/.test(arg)) joined[joined.length - 1] = `${before}=${arg}`;
    else joined.push(arg);
  }
  return joined;
}

function sayWhy(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  const option = /'(-[^']*)'/.exec(message)?.[1]?.split(/[ ,]/)[0] ?? "an option";
  if (code === "ERR_PARSE_ARGS_UNKNOWN_OPTION") return `unknown option ${option}`;
  if (/argument missing|ambiguous/.test(message)) return `${option} needs a value`;
  if (/does not take an argument/.test(message)) return `${option} takes no value`;
  return message.replace(/\s+/g, " ");
}
