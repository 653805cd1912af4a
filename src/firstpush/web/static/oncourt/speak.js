/* What is told besides the screen: a voice where the browser has one, a beep, a shake, and always the text. */

const VOICE_LANGUAGE = "en-GB";
let sound = null;

/** Whether this browser can speak aloud. */
export function hasVoice() {
  return "speechSynthesis" in globalThis && globalThis.speechSynthesis.getVoices().length > 0;
}

/**
 * Tell something.
 * @param {string} words as they stand in the live region
 * @param {{region: HTMLElement, voice: boolean, beep: boolean, shake: boolean, tone?: "count"|"end"}} how
 */
export function tellAloud(words, { region, voice, beep, shake, tone = "count" }) {
  region.textContent = words;
  if (voice && hasVoice()) {
    const said = new SpeechSynthesisUtterance(words);
    said.lang = VOICE_LANGUAGE;
    globalThis.speechSynthesis.cancel();
    globalThis.speechSynthesis.speak(said);
  }
  if (beep) playTone(tone);
  if (shake && "vibrate" in navigator) navigator.vibrate(tone === "end" ? [200, 100, 200] : 80);
}

/** Let the browser allow sound: it does so only while a hand is on the page. */
export function allowSound() {
  const Context = globalThis.AudioContext ?? globalThis.webkitAudioContext;
  if (!Context) return;
  sound ??= new Context();
  if (sound.state === "suspended") void sound.resume();
}

/** The loudspeaker, where it may sound by now; else null. */
export function loudspeaker() {
  return sound?.state === "running" ? sound : null;
}

function playTone(tone) {
  if (!sound || sound.state !== "running") return;
  const [pitch, seconds] = tone === "end" ? [880, 0.5] : [660, 0.12];
  const source = sound.createOscillator();
  const loudness = sound.createGain();
  source.frequency.value = pitch;
  loudness.gain.setValueAtTime(0.25, sound.currentTime);
  loudness.gain.exponentialRampToValueAtTime(0.001, sound.currentTime + seconds);
  source.connect(loudness).connect(sound.destination);
  source.start();
  source.stop(sound.currentTime + seconds);
}

let awake = null;

/** Keep the screen on while a session runs, where the browser can; sleep only hides the page, it loses nothing. */
export async function stayAwake(wanted) {
  if (!("wakeLock" in navigator)) return;
  try {
    if (wanted && !awake) {
      awake = await navigator.wakeLock.request("screen");
      awake.addEventListener("release", () => (awake = null));
    } else if (!wanted && awake) {
      await awake.release();
    }
  } catch {
    awake = null;
  }
}
