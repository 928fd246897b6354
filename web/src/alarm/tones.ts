/**
 * Two tones that cannot be taken for one another: the heads-up rises softly once, the cue is three hard strokes and a
 * long one. They support sight and voice and never replace them: kitchens are too loud for that.
 */

/** One stroke: pitch in hertz, start and length in seconds after the tone begins, loudness 0 to 1. */
interface Stroke {
  readonly hz: number;
  readonly from_s: number;
  readonly length_s: number;
  readonly gain: number;
}

export type Tone = 'heads_up' | 'cue' | 'taken';

// Small loudspeakers carry 0.8 to 2 kHz best, and so do ears after years beside an extractor hood.
const STROKES: Record<Tone, readonly Stroke[]> = {
  heads_up: [
    { hz: 784, from_s: 0, length_s: 0.16, gain: 0.3 },
    { hz: 1047, from_s: 0.18, length_s: 0.28, gain: 0.35 },
  ],
  cue: [
    { hz: 1397, from_s: 0, length_s: 0.1, gain: 0.8 },
    { hz: 1397, from_s: 0.15, length_s: 0.1, gain: 0.8 },
    { hz: 1397, from_s: 0.3, length_s: 0.1, gain: 0.8 },
    { hz: 1047, from_s: 0.45, length_s: 0.45, gain: 0.9 },
  ],
  taken: [{ hz: 1568, from_s: 0, length_s: 0.05, gain: 0.15 }],
};

let context: AudioContext | null = null;

/** Must be called from a touch or a key: browsers keep sound shut until then. False where there is no sound. */
export async function unlockSound(): Promise<boolean> {
  if (typeof AudioContext === 'undefined') return false;
  context ??= new AudioContext();
  try {
    // Never waited for without an end: without an output device some browsers leave this promise open.
    await Promise.race([context.resume(), new Promise((done) => setTimeout(done, 400))]);
  } catch {
    return false;
  }
  return context.state === 'running';
}

/** Plays a tone at a volume of 0 to 1; nothing happens where sound was not unlocked. */
export function play(tone: Tone, volume = 1): void {
  if (context === null) return;
  if (context.state !== 'running') void context.resume().catch(() => undefined);
  const shape = tone === 'heads_up' ? 'sine' : 'triangle';
  for (const stroke of STROKES[tone]) strike(context, { ...stroke, gain: stroke.gain * volume }, shape);
}

function strike(audio: AudioContext, { hz, from_s, length_s, gain }: Stroke, shape: OscillatorType): void {
  const start = audio.currentTime + from_s;
  const loudness = audio.createGain();
  loudness.gain.setValueAtTime(0, start);
  loudness.gain.linearRampToValueAtTime(gain, start + 0.008);
  loudness.gain.setValueAtTime(gain, start + length_s * 0.6);
  loudness.gain.exponentialRampToValueAtTime(0.001, start + length_s);
  const source = audio.createOscillator();
  source.type = shape;
  source.frequency.value = hz;
  source.connect(loudness).connect(audio.destination);
  source.start(start);
  source.stop(start + length_s + 0.02);
}
