/* What a session that is being done says of an exercise, and what stands above its screens. */

import { told } from "./dom.js";
import { setsOfASide } from "./eased.js";
import { ONE_SET_LESS } from "./entries.js";
import { lowerFirst, stopNotice } from "./today.js";

/** The first-aid card about a band. */
export const BAND_CARD = "band";

/**
 * Return what is kept of an exercise that was done as it stands on its screen.
 * @param {object} item
 * @param {string} name of the variant
 * @param {number|null} sets that were done; null for all
 */
export function valuesOfDone(item, name, sets = null) {
  const variant = item.variants[name];
  const planned = setsOfASide(variant);
  const isWhole = sets === null || name !== "planned" || sets >= planned;
  const values = { exercise: item.exercise, as_planned: isWhole, variant: name, ...(sets === null ? {} : { sets }) };
  return variant.one_set_less ? { ...values, as_planned: false, sets: sets ?? planned, reason: ONE_SET_LESS } : values;
}

/**
 * Return what is told of an exercise whose band was damaged in another one of this session; null where none was.
 * @param {object} court
 * @param {object} variant
 */
export function damagedBand(court, variant) {
  const damaged = court.state.standing
    .filter((each) => each.kind === "stopped" && each.card === BAND_CARD && each.exercise)
    .map(({ exercise }) => court.pack.items.find((each) => each.exercise === exercise)?.variants[court.state.variantOf(exercise)]);
  for (const other of damaged) {
    const name = other?.bands?.find((each) => variant.bands?.includes(each));
    if (name) return told({ level: "stop", what: `the band “${name}” was damaged in ${lowerFirst(other.title)}`, do: "another piece of it, looked at for nicks, or leave this out" });
  }
  return null;
}

/** A screen of a session that goes on all the same, under what stopped this athlete today. */
export function underStop(court, shown) {
  const own = court.state.passed;
  const card = own && court.pack.cards.find((each) => each.id === own.stop.card);
  const stop = own ? { at: own.stop.at.slice(11, 16), what: lowerFirst(card?.title ?? own.stop.card) } : court.app.stopToday(court);
  if (!stop) return shown;
  const notice = stopNotice(stop, "caution");
  const whoSays = own?.words.split(": ").at(-1);
  const [first, ...rest] = shown;
  return [first, told(whoSays ? { ...notice, do: `All of it passed, ${whoSays}. ${notice.do}` } : notice), ...rest];
}
