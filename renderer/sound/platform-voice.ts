import { getSettings } from "../settings/settings.js";
import type { Voice } from "./speech-queue.js";

/** Units as they are written, for a voice that would spell them. */
const SAID: readonly (readonly [RegExp, string])[] = [
  [/(\d)[\u202f\s]?V\b/g, "$1 volts"],
  [/(\d)[\u202f\s]?A\b/g, "$1 amps"],
  [/(\d)[\u202f\s]?Ω/g, "$1 ohms"],
  [/(\d)[\u202f\s]?%/g, "$1 percent"],
];

/** The computer's own speech. Where it has no voice, sentences end at once and captions remain. */
export const platformVoice: Voice = {
  say(words, done) {
    if (!hasVoice()) {
      done();
      return;
    }
    const { rate, volume } = getSettings();
    const utterance = new SpeechSynthesisUtterance(
      SAID.reduce((text, [written, spoken]) => text.replace(written, spoken), words),
    );
    utterance.lang = "en";
    utterance.rate = rate;
    utterance.volume = volume;
    utterance.onend = done;
    utterance.onerror = done;
    speechSynthesis.speak(utterance);
  },
  stop() {
    if (hasVoice()) speechSynthesis.cancel();
  },
};

export function hasVoice(): boolean {
  return "speechSynthesis" in window && speechSynthesis.getVoices().length > 0;
}
