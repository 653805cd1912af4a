// What the answers before the start take off an exercise today: its last set, where it has two or more of a side.
// No page in here: dose, steps and clock all read what comes out of it.

const MOST_ROUNDS = 20;

/** Return how many sets of one side a way to do an exercise has. */
export function setsOfASide({ steps = [] }) {
  const sets = steps.filter((each) => each.kind === "set");
  return sets.filter((each) => (each.side ?? null) === (sets[0]?.side ?? null)).length;
}

/** Whether an answer before the start asks for one set less. */
export function takesASet(pack, before) {
  if (!before) return false;
  if ((before.effects ?? []).includes("shorten")) return true;
  return (pack.before?.questions ?? []).some((question) => question.answers.find((each) => each.says === before.answers?.[question.id])?.one_set_less === true);
}

/**
 * Return the package as it is done today; the same one where nothing is taken off it.
 * @param {object} pack
 * @param {object|null} before the answers before the start
 */
export function todaysPack(pack, before) {
  if (!takesASet(pack, before)) return pack;
  const eased = (variants) => Object.fromEntries(Object.entries(variants).map(([name, each]) => [name, oneSetLess(each)]));
  return { ...pack, items: pack.items.map((item) => ({ ...item, variants: eased(item.variants) })) };
}

/** Return a way to do an exercise without its last set; as it is where there is only one. */
export function oneSetLess(variant) {
  const sets = setsOfASide(variant);
  if (sets < 2) return variant;
  return {
    ...variant,
    steps: stepsOfSets(variant.steps, 1, sets - 1),
    dose_large: String(variant.dose_large ?? "").replace(/^(\d+) ×/, (all, number) => (Number(number) === sets ? `${sets - 1} ×` : all)),
    dose_small: String(variant.dose_small ?? "").replace(/; the (second set|other sets) by the answer/, ""),
    one_set_less: true,
  };
}

/**
 * Return the steps of some of the sets, counted from 1 of each side: what is set up before, and no pause for nothing.
 * @param {object[]} steps
 * @param {number} from
 * @param {number} [to]
 */
export function stepsOfSets(steps, from, to = MOST_ROUNDS) {
  const counted = new Map();
  const numbers = steps.map((each) => {
    if (each.kind !== "set") return null;
    const side = each.side ?? "";
    counted.set(side, (counted.get(side) ?? 0) + 1);
    return counted.get(side);
  });
  const isIn = (index) => numbers[index] !== null && numbers[index] >= from && numbers[index] <= to;
  const first = numbers.findIndex((each, index) => isIn(index));
  const last = numbers.findLastIndex((each, index) => isIn(index));
  // What stood between the sets of before and this one is rest, and counts; what was set up before stays as it is.
  const begin = from > 1 ? first - (steps[first - 1]?.kind === "pause" ? 1 : 0) : 0;
  const free = steps.findIndex((each, index) => index > last && each.kind === "free the chair");
  return steps.filter((each, index) => {
    if (index < begin) return false;
    if (index > last) return index === free;
    if (numbers[index] !== null) return isIn(index);
    // A pause belongs to the set after it.
    return each.kind !== "pause" || isIn(index + 1);
  });
}
