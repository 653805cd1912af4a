/* Words for who does the exercise: what a practitioner calls otherwise stands small beside them. */

const QUICK_S = 1;
const PLAIN_ZONES = {
  "very light": "hardly anything",
  light: "easy",
  moderate: "in between",
  vigorous: "hard",
  "near-maximal to maximal": "all I have",
};
const TEMPO = /([\d.]+) s out(?: · ([\d.]+) s hold)? · ([\d.]+) s back/;

/** The name of a zone of effort as an athlete would say it. */
export function plainZone(zone) {
  return PLAIN_ZONES[zone] ?? zone;
}

/** What stands small beside the dose; a movement of less than a second is quick, and has no seconds to count. */
export function plainDose({ side_words, dose_small }) {
  const tempo = dose_small.replace(TEMPO, (all, out, hold, back) => (Number(out) + Number(hold ?? 0) + Number(back) < QUICK_S ? "quick" : all));
  return [side_words, tempo].filter(Boolean).join(" · ");
}

/** Seconds that a way to do an exercise takes by the plan, with setting up. */
export function plannedSeconds(variant) {
  return variant.steps.reduce((sum, each) => sum + each.seconds, 0);
}

/**
 * What comes after the exercise in hand, and how long the rest takes, in two parts: the first may be cut off.
 * @param {object} pack
 * @param {object} state where the session stands
 * @param {number} [goneS] seconds of the exercise in hand that are over by its clock
 * @returns {[string, string]}
 */
export function aheadWords(pack, state, goneS = 0) {
  const open = state.items.filter((each) => each.state === "open" || each.state === "held");
  const variants = open.map((each) => pack.items.find(({ exercise }) => exercise === each.exercise).variants[each.variant]);
  const leftS = variants.reduce((sum, each) => sum + plannedSeconds(each), 0) - goneS;
  const minutes = Math.round(leftS / 60);
  return [`then: ${variants[1]?.title ?? "the end"}`, `${minutes < 1 ? "less than a minute" : `about ${minutes} min`} left`];
}

/** Minutes by the plan of what was done so far; the whole of it where everything was. */
export function plannedMinutes(pack, state) {
  const done = state.items.filter((each) => each.state === "done");
  if (done.length === state.items.length) return Math.round(pack.total_s / 60);
  return Math.round(done.reduce((sum, each) => sum + plannedSeconds(pack.items.find(({ exercise }) => exercise === each.exercise).variants[each.variant] ?? { steps: [] }), 0) / 60);
}
