// Says each step aloud where the browser can; where it cannot, nothing waits for it.

import { keep, kept } from "./queue.js";

export const wishes = kept("voice", { speak: true, rate: 0.9, voice: "", listen: false });

export function wish(name, value) {
  wishes[name] = value;
  keep("voice", wishes);
}

const mouth = window.speechSynthesis;
let mute = !mouth;

export function voices() {
  return mouth ? mouth.getVoices() : [];
}

export function canSpeak() {
  return !mute && voices().length > 0;
}

export function say(text) {
  if (!wishes.speak || mute || !mouth || !text) return;
  const words = new SpeechSynthesisUtterance(text);
  words.rate = wishes.rate;
  const voice = voices().find((one) => one.voiceURI === wishes.voice);
  if (voice) words.voice = voice;
  words.lang = voice ? voice.lang : "en";
  words.onerror = (event) => {
    if (event.error === "synthesis-failed" || event.error === "synthesis-unavailable") mute = true;
  };
  mouth.cancel();
  mouth.speak(words);
}

export function hush() {
  mouth?.cancel();
}

const Ear = window.SpeechRecognition ?? window.webkitSpeechRecognition;
let ear = null;

export const canListen = Boolean(Ear);

// Calls `heard` with "done", "back" or "again".
export function listen(on, heard) {
  ear?.abort();
  ear = null;
  if (!on || !Ear) return;
  ear = new Ear();
  ear.continuous = true;
  ear.lang = "en";
  ear.onresult = (event) => {
    const words = event.results[event.results.length - 1][0].transcript.trim().toLowerCase();
    const last = words.split(/\s+/).at(-1);
    if (["done", "back", "again"].includes(last)) heard(last);
  };
  const mine = ear;
  ear.onend = () => { if (ear === mine) { try { mine.start(); } catch { ear = null; } } };
  try {
    ear.start();
  } catch {
    ear = null;
  }
}
