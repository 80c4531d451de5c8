import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { type CardFile, cardFileSchema } from "#shared/card-file";

const words = plansWords.file;

/** A card file is a few kilobytes; what is larger is none. */
const MOST_BYTES = 200_000;

/** What came out of a file: a card, or one line that says what, where and how to mend. */
export type ReadCardFile =
  | { readonly ok: true; readonly file: CardFile }
  | { readonly ok: false; readonly line: string };

/** Reads a card file that was chosen on the device; it is looked at by its schema before anything is sent. */
export async function readCardFile(chosen: Pick<File, "name" | "size" | "text">): Promise<ReadCardFile> {
  if (chosen.size > MOST_BYTES)
    return { ok: false, line: words.tooLarge(chosen.name, `${MOST_BYTES / 1000} kB`) };
  return parsedCardFile(chosen.name, await chosen.text());
}

/** The card in a file's text. */
export function parsedCardFile(name: string, text: string): ReadCardFile {
  const value = parsedJson(text);
  if (typeof value !== "object" || value === null || Array.isArray(value))
    return { ok: false, line: words.notJson(name) };
  const result = cardFileSchema.safeParse(value);
  if (result.success) return { ok: true, file: result.data };
  const issue = result.error.issues[0];
  if (!issue || issue.path[0] === "format") return { ok: false, line: words.notJson(name) };
  return {
    ok: false,
    line: words.notCard(name, issue.path.join(".") || words.whole, plainly(issue.message)),
  };
}

function parsedJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function plainly(message: string): string {
  return message.charAt(0).toLowerCase() + message.slice(1);
}
