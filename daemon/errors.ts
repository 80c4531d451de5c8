/** What broke outside our own code. */
export type DaemonErrorCode =
  | "port-missing"
  | "port-forbidden"
  | "port-busy"
  | "port-unusable"
  | "address-in-use"
  | "file-missing"
  | "file-unreadable"
  | "input-refused"
  | "not-found"
  | "conflict"
  | "store-failed";

/** The world broke: the message says what, where and how to mend, in one line. */
export class DaemonError extends Error {
  readonly code: DaemonErrorCode;

  constructor(code: DaemonErrorCode, message: string, cause?: unknown) {
    super(message, { cause });
    this.name = "DaemonError";
    this.code = code;
  }
}
