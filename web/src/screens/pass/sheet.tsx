import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { say } from '../../words/say';
import { Doing } from './doing';

interface SheetProps {
  title: string;
  label: string;
  onClose: () => void;
  /** From a part of the sheet back to all of it; none: this is all of it. */
  onBack?: (() => void) | undefined;
  wide?: boolean;
  children: ComponentChildren;
}

/** What a touch on something opens, over the page: closed by its button, by Escape or by a touch beside it. */
export function Sheet({ title, label, onClose, onBack, wide = false, children }: SheetProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => dialog.current?.showModal(), []);
  // Gone with the key itself: a dialog that closes by itself says so only later, and would shut what was opened since.
  const cancel = (event: Event) => {
    event.preventDefault();
    onClose();
  };
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: Escape closes a dialog by itself
    <dialog
      ref={dialog}
      class={wide ? 'course-dialog wide' : 'course-dialog'}
      onClose={onClose}
      onCancel={cancel}
      onClick={(event) => event.target === dialog.current && onClose()}
      aria-label={label}
    >
      <div class="dialog-body">
        <header>
          <h2>{title}</h2>
          <div class="sheet-ways">
            {onBack !== undefined && (
              <button type="button" onClick={onBack}>
                {say('sheet.back')}
              </button>
            )}
            <button type="button" onClick={onClose}>
              {say('close')}
            </button>
          </div>
        </header>
        <Doing where="sheet" />
        {children}
      </div>
    </dialog>
  );
}
