import { useEffect, useState } from 'preact/hooks';
import { say } from '../../words/say';

interface StepperProps {
  what: string;
  has: number;
  of: number;
  onSet: (to: number) => void;
}

/** Ms after which a number that the kitchen never took over is let go again. */
const BELIEVED_MS = 3000;

/** So many of so many, one fewer or more a touch; two quick touches are two, though the board comes after them. */
export function Stepper({ what, has, of, onSet }: StepperProps) {
  const [wanted, want] = useState<number | null>(null);
  useEffect(() => {
    if (wanted === null) return;
    if (wanted === has) return want(null);
    const letGo = setTimeout(() => want(null), BELIEVED_MS);
    return () => clearTimeout(letGo);
  }, [wanted, has]);
  const shown = wanted ?? has;
  const set = (to: number) => {
    want(to);
    onSet(to);
  };
  return (
    <div class="stepper">
      <span>{what}</span>
      <button
        type="button"
        aria-label={say('sheet.fewer', { what })}
        disabled={shown === 0}
        onClick={() => set(shown - 1)}
      >
        −
      </button>
      <b class="figures">{shown === of ? shown : say('sheet.has_of', { has: shown, of })}</b>
      <button type="button" aria-label={say('sheet.more', { what })} onClick={() => set(shown + 1)}>
        +
      </button>
    </div>
  );
}
