/* Before we start: one press when everything is as usual; else each question, and pain by its place. */

import { el, fill, fillFoot, head, press, told, toFoot, upper } from "./dom.js";
import { takesASet } from "./eased.js";
import { knownWords, missingOfPain, painWords } from "./pain.js";
import { afterFinger } from "./resting.js";
import { scrollOn, whenSeen } from "./seen.js";
import { stopNotice } from "./today.js";

const GRAVEST = ["none", "shorten", "ease", "first", "stop"];
const EFFECT_WORDS = {
  first: "Put this right first, then start.",
  stop: "No session now.",
  ease: "Today the easier ones come first.",
  shorten: "Today one set less each, and more breaks.",
};
const EASED_AND_SHORTER = "Today the easier ones come first, one set less each.";

/**
 * @param {object} court package, run and `say`; what is being answered is held in `court.asking`
 * @returns {HTMLElement[]}
 */
export function beforeScreen(court) {
  const { pack } = court;
  court.asking ??= { answers: {}, pains: [], half: null, open: false };
  if (court.asking.open) return questionsScreen(court);

  const levelOf = (each) => (each.plain === undefined ? each.usual : each.plain);
  const goesOn = (each) => levelOf(each) !== null && painBefore(court, each, levelOf(each)).goesOn;
  const stop = court.app.stopToday(court);
  // After a stop of today nobody answers for all with one press.
  const isPlain = !stop && (pack.before.plain ?? pack.before.pains.every(goesOn));
  const plain = async () => {
    const answers = Object.fromEntries(pack.before.questions.map((each) => [each.id, each.answers[0].says]));
    const pains = pack.before.pains
      .filter((each) => levelOf(each) !== null)
      .map((each) => ({ place: each.place, side: each.side, level_0_10: levelOf(each), feeling: "as usual" }));
    await court.say("before", { ...insteadOf(court), answers, pains, effects: [] });
  };
  const unfold = () => {
    court.asking.open = true;
    court.draw();
  };
  const usual = pack.before.plain_words ?? (pack.before.pains.map((each) => `${each.words} ${each.usual ?? "not known"} of 10`).join(", ") || "no pain");
  return [
    head("Before we start"),
    stop ? told(stopNotice(stop)) : null,
    ...pack.notices.filter((each) => each.level !== "note").map(told),
    wordsList("Look at this", pack.checks ?? []),
    isPlain
      ? wordsList("As usual", [`Pain: ${usual}`, ...pack.before.questions.map((each) => `${each.asks} ${upper(each.answers[0].says)}`)])
      : null,
    wordsList("When to stop", pack.stop_rules ?? []),
    ...saidWhenRead(court, isPlain
      ? [press("All checked, all as usual: begin", plain, { look: "main" }), press("Something to say first", unfold)]
      : [press("All checked: answer before the start", unfold, { look: "main" })]),
  ];
}

/* What says that all was checked says so only where the end of the list has been in sight; until then a press goes on to it. */
function saidWhenRead(court, [main, ...others]) {
  const { asking } = court;
  if (asking.seen) return [toFoot(main, others)];
  const end = el("div.list-end", { "aria-hidden": "true" });
  const more = press("More to check ↓", () => scrollOn(end), { look: "main" });
  const foot = toFoot(more, others);
  whenSeen(end, () => {
    asking.seen = true;
    const held = more.contains(document.activeElement);
    // The others stay where they are: one of them may be under a finger.
    afterFinger(() => {
      more.replaceWith(main);
      court.rest(main.parentElement);
      if (held) main.focus({ preventScroll: true });
    });
  });
  return [end, foot];
}

// What was to be put right first is answered anew, in place of what was said then.
function insteadOf(court) {
  return court.state.before ? { corrects: court.state.before.id } : {};
}

function wordsList(title, lines) {
  return lines.length ? el("section", {}, el("h2", {}, title), el("ul.asked", {}, lines.map((each) => el("li", {}, each)))) : null;
}

function questionsScreen(court) {
  const { pack, asking } = court;
  const outcome = el("div.outcome", { role: "status" });
  const foot = toFoot();
  const stop = court.app.stopToday(court);

  const begin = async () => {
    // A pain of which only a part was said is asked for, not passed over.
    if (asking.half && missingOfPain(pack, asking.half)) return sayPain(court, asking.half);
    const { effects } = effectsOf(court, asking);
    await court.say("before", { ...insteadOf(court), answers: asking.answers, pains: asking.pains, effects });
  };
  // What was said is why there is no session: it is kept before the end is.
  let kept = false;
  const noSession = async () => {
    const { effects } = effectsOf(court, asking);
    kept ||= await court.log("before", { ...insteadOf(court), answers: asking.answers, pains: asking.pains, effects });
    if (kept) await court.say("ended", { minutes: 0 });
  };
  const toNext = () => {
    const next = document.querySelector("fieldset.question[data-open]");
    next?.scrollIntoView({ block: "center" });
    next?.querySelector("button")?.focus({ preventScroll: true });
  };
  const askAgain = () => {
    court.asking = { answers: {}, pains: [], half: null, open: true };
    court.draw();
  };

  function show() {
    const found = effectsOf(court, asking);
    const gravest = found.effects[0] ?? "none";
    const all = pack.before.questions.every((each) => asking.answers[each.id]);
    const back = press("Back", () => ((asking.open = false), court.draw()));
    inPlace(groups, () =>
      fill(outcome, stop ? told(stopNotice(stop)) : null, found.notices.map(told), gravest === "none" ? null : el("p.effect", {}, effectInWords(court, asking, gravest))));
    // The page is longer than a screen: what must be seen stands where the thumb is, too.
    const seen = found.notices[0] ? [told(found.notices[0]), moreWords(found.notices.slice(1))] : [];
    if (gravest === "stop") fillFoot(foot, press("No session today", noSession, { look: "main" }), press("Ask again", askAgain));
    else if (gravest === "first") fillFoot(foot, press("Ask again", askAgain, { look: "main", small: "when it is put right" }), press("No session today", noSession));
    else if (stop && !all) fillFoot(foot, press("To the next question", toNext, { look: "main", small: "each is answered after a stop" }), back);
    else fillFoot(foot, press("Begin", begin, { look: "main", small: beginWords(effectInWords(court, asking, gravest), all) }), back);
    foot.prepend(...seen.filter(Boolean));
    const now = `${gravest} ${all} ${found.notices.length}`;
    if (drawn && drawn !== now) court.rest(foot);
    drawn = now;
  }

  const groups = pack.before.questions.map((question) =>
    questionGroup(question, asking.answers[question.id], (says) => ((asking.answers[question.id] = says), show())));
  let drawn = "";
  show();
  return [head("Something to say first", "Before we start"), outcome, painGroup(court), groups, foot].flat();
}

/* What is pressed stays under the finger when something above it grows. */
function inPlace([first], change) {
  const top = first?.isConnected ? first.getBoundingClientRect().top : null;
  change();
  if (top !== null && globalThis.scrollY > 0) globalThis.scrollBy(0, first.getBoundingClientRect().top - top);
}

function moreWords(notices) {
  return notices.length ? el("p.because", {}, `And: ${notices.map((each) => each.what).join("; ")}.`) : null;
}

/* The easier ones, or a set less, or both: what the answers ask for together. */
function effectInWords(court, asking, gravest) {
  const fewer = takesASet(court.pack, { answers: asking.answers, effects: gravest === "shorten" ? ["shorten"] : [] });
  return gravest === "ease" && fewer ? EASED_AND_SHORTER : (EFFECT_WORDS[gravest] ?? "");
}

function beginWords(effect, all) {
  if (effect) return effect.replace(/\.$/, "");
  return all ? "" : "what was not answered counts as usual";
}

function painGroup(court) {
  const { asking, pack } = court;
  const half = asking.half && missingOfPain(pack, asking.half) ? asking.half : null;
  return el("fieldset", {}, el("legend", {}, "Does something hurt?"),
    asking.pains.length > 0 && el("ul.said-pains", {}, asking.pains.map((pain) =>
      el("li", {}, el("span", {}, painWords(pain)),
        press("Take away", () => ((asking.pains = asking.pains.filter((each) => each !== pain)), court.draw()), { label: `Take away: ${painWords(pain)}` })))),
    el("div.choices", {},
      pack.before.pains.filter((each) => !asking.pains.some((said) => samePlace(said, each)) && !(half && samePlace(half, each))).map((each) =>
        press(upper(each.words), () => sayPain(court, { place: each.place, ...(each.side ? { side: each.side } : {}) }), { small: knownWords(each) })),
      half ? press(`${painWords(half)}: go on with it`, () => sayPain(court, half)) : null,
      press(asking.pains.length || pack.before.pains.length ? "Another pain" : "Pain", () => sayPain(court, {}))));
}

function sayPain(court, chosen) {
  const { asking } = court;
  court.show("pain", {
    chosen: { ...chosen },
    done: (pain) => {
      asking.pains = [...asking.pains.filter((each) => !samePlace(each, pain)), pain];
      asking.half = null;
      court.draw();
    },
    back: (said) => {
      asking.half = Object.keys(said).length ? said : null;
      court.draw();
    },
  });
}

function questionGroup(question, given, chosen) {
  const buttons = question.answers.map((answer, place) =>
    press(upper(answer.says), () => {
      buttons.forEach((each, at) => each.setAttribute("aria-pressed", String(at === place)));
      group.removeAttribute("data-open");
      chosen(answer.says);
    }, { pressed: given === answer.says }),
  );
  const group = el("fieldset.question", { "data-open": !given }, el("legend", {}, question.asks), el("div.choices", {}, buttons));
  return group;
}

function samePlace(first, second) {
  return first.place === second.place && (first.side ?? null) === (second.side ?? null);
}

function painBefore(court, { place, side }, level, feeling = "as usual") {
  const outcome = court.painOutcome({ place, side, feeling, level });
  return { ...outcome, goesOn: outcome.outcome === "go on" || outcome.outcome === "go on with care" };
}

/** What the answers and pains ask for together; each effect once, the gravest first. */
export function effectsOf(court, { answers, pains }) {
  const notices = [];
  const effects = new Set();
  for (const question of court.pack.before.questions) {
    const answer = question.answers.find((each) => each.says === answers[question.id]);
    if (answer?.what) notices.push(answer);
    if (answer && answer.effect !== "none") effects.add(answer.effect);
  }
  for (const pain of pains) {
    const { outcome, because } = painBefore(court, pain, pain.level_0_10, pain.feeling);
    const effect = court.pack.pain.effects[outcome];
    if (effect === "none") continue;
    effects.add(effect);
    notices.push({
      level: effect === "stop" ? "stop" : "caution",
      what: `${[pain.side, pain.place].filter(Boolean).join(" ")}: ${because}`,
      do: effect === "stop" ? "Have it looked at first; nothing loads it today" : "The easier ones; stop when it rises",
    });
  }
  notices.sort((a, b) => (a.level === "stop" ? 0 : 1) - (b.level === "stop" ? 0 : 1));
  return { notices, effects: [...effects].sort((a, b) => GRAVEST.indexOf(b) - GRAVEST.indexOf(a)) };
}
