// What is asked of the application besides sending entries, and what an answer, or none, says about the way home.

export const LOGIN_PAGE = "/account/login/?next=/court/";
const FAULT_WORDS = {
  401: "Log in again: then this session can be fetched.",
  403: "This login may not do this session.",
  404: "This session is not there, or its link has been withdrawn.",
  410: "This link has run out. Ask for a new one.",
};

/**
 * Ask for JSON.
 * @param {string} address under /court/
 * @param {string|null} link secret of a printed code
 * @throws with `status` and `words` where something was answered
 */
export async function askedFor(address, link) {
  const answer = await fetch(`/court/${address}`, { headers: link ? { "X-Court-Link": link } : {}, cache: "no-store", redirect: "error" });
  if (answer.ok) return answer.json();
  const words = FAULT_WORDS[answer.status] ?? `The application answered ${answer.status}. Try again in a minute.`;
  throw Object.assign(new Error(String(answer.status)), { status: answer.status, words });
}

/** Where the way home stands after an answer with this status; null or undefined is none. */
export function reachOf(status) {
  if (!status) return "no signal";
  return { 401: "login", 410: "run out" }[status] ?? "answered";
}

/** The newest version of each of these sessions, in their order. */
export function newestOf(offered, plans) {
  return plans
    .map((plan) => offered.filter((each) => String(each.plan) === plan).sort((a, b) => b.version - a.version)[0])
    .filter(Boolean);
}
