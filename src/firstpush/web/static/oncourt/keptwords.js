/* What an entry said, in few words. */

import { upper } from "./dom.js";
import { effortSaid } from "./effort.js";
import { ONE_SET_LESS } from "./entries.js";

/** What an entry said, as it stands with “Undo”: the word first, so that a narrow place cuts off only the title. */
export function keptWords(pack, entry) {
  const title = pack.items.find((each) => each.exercise === entry.exercise)?.variants.planned.title;
  switch (entry.kind) {
    case "before":
      return "Answers before the start";
    case "done":
      return `${doneWords(entry)}: ${title}`;
    case "skipped":
      return `Left out: ${title}`;
    case "swapped":
      return `The ${entry.to} one: ${title}`;
    case "effort":
      return `${effortSaid(entry.effort_6_20 ?? entry.feel)}, ${title ?? entry.part}`;
    case "pain":
      return `Pain ${entry.level_0_10}, ${[entry.side, entry.place].filter(Boolean).join(" ")}`;
    case "stopped":
      return `Stopped: ${entry.sign ?? entry.card}`;
    case "note":
      return entry.words;
    case "ended":
      return "The session is over";
    default:
      return upper(entry.kind);
  }
}

function doneWords({ as_planned: asPlanned, reason, variant }) {
  if (reason === ONE_SET_LESS) return "One set less";
  if (!asPlanned) return "Not as planned";
  return variant === "planned" ? "As planned" : `The ${variant} one`;
}
