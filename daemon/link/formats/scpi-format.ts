import {
  FIELD_WORDS,
  type FieldWord,
  fieldsFault,
  isFieldWord,
  strictNumber,
} from "#daemon/link/formats/fields";
import {
  DEFAULT_POLLING,
  entriesOf,
  isScale,
  namedEntry,
  type Polling,
  pollingEntries,
  pollingOption,
} from "#daemon/link/formats/polling";

/** One query and what the values of its answer mean. */
export interface ScpiQuery {
  /** Without its line end, such as `MEASure:TEMPerature? TC,(@101)`. */
  readonly query: string;
  readonly fields: readonly FieldWord[];
  /** The number times this is the value in the field's unit: 1000 where an instrument answers in volts. */
  readonly scale: number;
}

/** Queries that an instrument is asked, one after the other. */
export interface ScpiFormat extends Polling {
  readonly kind: "scpi";
  readonly queries: readonly ScpiQuery[];
}

const LONGEST_QUERY = 120;

/**
 * A query and nothing else: a header that ends in `?`, then perhaps parameters. No line end and no semicolon,
 * behind which a command could stand.
 */
const queryForm =
  /^(?:\*[a-z]{2,12}|:?[a-z][a-z0-9_]{0,30}(?::[a-z][a-z0-9_]{0,30}){0,8})\?(?: +[\w ,.@():+'"/-]*)?$/i;

/** Queries that make an instrument do something: test itself, calibrate, trigger macros. */
const actingQuery =
  /^(?:\*(?:cal|tst|trg|rst|rcl|sav|ddt|gmc|lmc|pud)|:?(?:cal|calibration|calibrate|test|diag|diagnostic|init|initiate|abor|abort)\b.*)\?/i;

const scaleForm = /^(.*\?.*?) +\*(\S+)$/;

/** What is wrong with a query; null when it only asks. */
export function queryFault(query: string): string | null {
  const shown = `"${query.slice(0, 60)}"`;
  if (query.length > LONGEST_QUERY) return `${shown} is longer than ${LONGEST_QUERY} characters`;
  if (!queryForm.test(query))
    return `${shown} is no query: a header ends in "?", and nothing is ever commanded`;
  if (actingQuery.test(query))
    return `${shown} makes the instrument do something; only readings are asked for`;
  return null;
}

/** A format from the text behind `scpi:`, or what is wrong with it. */
export function parseScpiFormat(text: string): ScpiFormat | string {
  let polling = DEFAULT_POLLING.scpi;
  const queries: ScpiQuery[] = [];
  for (const entry of entriesOf(text)) {
    const named = namedEntry(entry);
    if (!named) return `"${entry.slice(0, 60)}" is not query=field, such as MEASure:TEMPerature?=celsius`;
    const option = pollingOption(...named);
    if (typeof option === "string") return option;
    if (option) polling = { ...polling, ...option };
    else {
      const query = parseQuery(...named);
      if (typeof query === "string") return query;
      queries.push(query);
    }
  }
  return fieldsFault(queries.flatMap(({ fields }) => fields)) ?? { kind: "scpi", queries, ...polling };
}

/** The text behind `scpi:`; `parseScpiFormat` reads it back. */
export function scpiFormatText(format: ScpiFormat): string {
  const entries = format.queries.map(
    ({ query, fields, scale }) => `${query}${scale === 1 ? "" : ` *${scale}`}=${fields.join(",")}`,
  );
  return [...entries, ...pollingEntries(format, DEFAULT_POLLING.scpi)].join(";");
}

function parseQuery(text: string, meaning: string): ScpiQuery | string {
  const [, before, factor] = scaleForm.exec(text) ?? [];
  const query = before ?? text;
  const fault = queryFault(query);
  if (fault) return fault;
  const scale = factor === undefined ? 1 : strictNumber(factor);
  if (scale === null || !isScale(scale)) return "the scale is a number such as *1000";
  const fields: FieldWord[] = [];
  for (const word of meaning.split(",").map((each) => each.trim())) {
    if (!isFieldWord(word)) return `"${word.slice(0, 40)}" is no field; use one of ${FIELD_WORDS.join(", ")}`;
    fields.push(word);
  }
  return { query, fields, scale };
}
