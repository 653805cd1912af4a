// What a pain said earlier in a session means for a later exercise of the same arm, and which effort is too much today:
// looked up in the tables of the package, nothing is decided here.

const FROM_MILDEST = ["go on", "go on with care", "easier", "stop the exercise", "stop the arm"];

const BEFORE_PAIN = ["new", "sharp"];

/** Look up what a pain means: [outcome, because]. */
export function lookUpPain(pack, key, { feeling, before, level }) {
  const table = pack.pain.tables[key] ?? pack.pain.tables[""];
  return pack.pain.answers[table[feeling][before][level]];
}

/**
 * Return every pain that was said, with its outcome; those before the start have no exercise.
 * @param {object} pack
 * @param {object[]} standing entries that hold
 */
export function saidPains(pack, standing) {
  // Packages of an earlier release say nothing about later exercises.
  if (!pack.pain?.later) return [];
  return standing.flatMap((entry) => {
    if (entry.kind === "pain") return [{ ...entry, side: entry.side ?? null }];
    if (entry.kind !== "before") return [];
    return (entry.pains ?? []).map((pain) => {
      const side = pain.side ?? null;
      const key = side ? `${side} ${pain.place}` : pain.place;
      const [outcome] = lookUpPain(pack, key, { feeling: pain.feeling ?? "as usual", before: 0, level: pain.level_0_10 });
      return { ...pain, side, outcome, exercise: null };
    });
  });
}

/**
 * Return what the pains said elsewhere mean for an exercise; null where it is as planned.
 * @param {object} pack
 * @param {object[]} pains from `saidPains`
 * @param {object} item
 * @param {object} variant in hand
 * @returns {{offer: string, level: string, what: string, do: string}|null}
 */
export function laterOffer(pack, pains, item, variant) {
  const rows = pack.pain.later;
  if (!rows || !variant.arms) return null;
  const rank = (each) => FROM_MILDEST.indexOf(each.outcome);
  const counts = (each) => {
    const isSame = each.side ? variant.arms.includes(each.side) : variant.arms.length > 0;
    return isSame && each.exercise !== item.exercise && (rows[each.outcome]?.offer ?? "planned") !== "planned";
  };
  const gravest = pains.filter(counts).reduce((best, each) => (best && rank(best) > rank(each) ? best : each), null);
  if (!gravest) return null;
  const row = rows[gravest.outcome];
  // What tells of an easier one is not said where none is prepared.
  const isNone = row.offer === "easier" && !item.variants.easier;
  return { ...row, ...(isNone ? { offer: "leave out", do: "" } : {}), what: filledWords(row.what, wordsOfPain(pack, gravest)) };
}

/** Fill words into what stands in braces. */
export function filledWords(words, values) {
  return words.replace(/\{(\w+)\}/g, (all, name) => values[name] ?? all);
}

function wordsOfPain(pack, { exercise, place, side, feeling, level_0_10: level }) {
  const title = pack.items.find((each) => each.exercise === exercise)?.variants.planned.title;
  return {
    pain: `${BEFORE_PAIN.includes(feeling) ? `${feeling} ` : ""}pain of ${level} of 10${feeling === "more than usual" ? ", more than usual" : ""}`,
    place: side ? `${side} ${place}` : place,
    arm: side ? "this arm" : "either arm",
    in: exercise ? ` in ${title ?? exercise}` : " before the start",
  };
}

/** Return the effort (6-20) above which nothing is meant to be done today; null where nothing is said. */
export function effortCeiling(pack, before) {
  const answered = (pack.before?.questions ?? []).map((each) => each.answers.find(({ says }) => says === before?.answers?.[each.id])?.effort_ceiling);
  const all = [pack.effort_ceiling?.effort_6_20, ...answered].filter((each) => typeof each === "number");
  return all.length ? Math.min(...all) : null;
}

/** Return the notice about an effort above the ceiling; null below. */
export function tooMuch(pack, state, effort) {
  if (state.ceiling === null || typeof effort !== "number" || effort <= state.ceiling) return null;
  const { what, do: todo } = pack.effort_ceiling ?? { what: "effort {effort} is above {ceiling}", do: "" };
  return { level: "caution", what: filledWords(what, { effort, ceiling: state.ceiling }), do: todo };
}
