import { connectWords } from "#kiosk-ui/screens/upkeep/connect/connect-words";
import { portName } from "#kiosk-ui/screens/upkeep/connect/port-names";
import type { ListenAnswer } from "#shared/listening";

/** What has come of listening to a port. */
export type Listening =
  | { readonly kind: "idle" }
  | { readonly kind: "listening"; readonly asks: boolean; readonly sinceSeconds: number }
  | { readonly kind: "stopped" }
  | { readonly kind: "heard"; readonly answer: ListenAnswer }
  /** With the daemon's one line. */
  | { readonly kind: "refused"; readonly message: string };

/** What stands over it, and what to do. */
export function listeningHeading(
  listening: Listening,
  port: string,
): { readonly title: string; readonly help: string } {
  const words = connectWords.format;
  switch (listening.kind) {
    case "idle":
      return { title: words.now, help: words.nowHelp };
    case "listening":
      return listening.asks
        ? { title: words.asking(portName(port)), help: words.askingHelp }
        : { title: words.listening(portName(port)), help: words.takes };
    case "stopped":
      return { title: words.stopped, help: words.stoppedHelp };
    case "heard":
      return listening.answer.proposals.length > 0
        ? { title: words.question, help: words.hint }
        : { title: words.nothing, help: "" };
    case "refused":
      return { title: words.refused, help: "" };
  }
}
