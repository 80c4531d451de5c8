/**
 * An instrument that speaks SCPI, by hand: it answers the queries that it knows, keeps an error for those that it
 * does not, and counts how many wait for their answer at once.
 */
export class ScpiResponder {
  /** Answers by query, in capitals; null for a query that it leaves unanswered without an error. */
  readonly answers = new Map<string, () => string | null>([
    ["*IDN?", () => "Bakeside tests,Made-up thermometer,0,1.0"],
  ]);
  /** Everything that it was sent, line by line. */
  readonly lines: string[] = [];
  readonly errors: string[] = [];
  /** How long an answer takes, ms. */
  delayMilliseconds = 0;
  mostOutstanding = 0;
  #outstanding = 0;
  #text = "";
  readonly #send: (text: string) => void;

  constructor(send: (text: string) => void) {
    this.#send = send;
  }

  take(bytes: Uint8Array): void {
    this.#text += Buffer.from(bytes).toString("latin1");
    for (let end = this.#text.indexOf("\n"); end >= 0; end = this.#text.indexOf("\n")) {
      this.#answer(this.#text.slice(0, end).trim());
      this.#text = this.#text.slice(end + 1);
    }
  }

  #answer(line: string): void {
    this.lines.push(line);
    const query = line.toUpperCase();
    const isErrorQuery = /^SYST(EM)?:ERR(OR)?(:NEXT)?\?$/.test(query);
    const known = isErrorQuery ? () => this.errors.shift() ?? '0,"No error"' : this.answers.get(query);
    if (!known) this.errors.push('-113,"Undefined header"');
    const text = known?.();
    if (text === null || text === undefined) return;
    this.#outstanding += 1;
    this.mostOutstanding = Math.max(this.mostOutstanding, this.#outstanding);
    setTimeout(() => {
      this.#outstanding -= 1;
      this.#send(`${text}\n`);
    }, this.delayMilliseconds);
  }
}
