/** Keeping the screens on the device, where the browser allows it: pages over https, and those of this machine. */

import { type ReadonlySignal, signal } from '@preact/signals';

interface InstallPrompt extends Event {
  prompt(): Promise<unknown>;
}

const offered = signal<InstallPrompt | null>(null);

/** Whether the browser offers to install the page now; nothing is promised where it does not. */
export const installable: ReadonlySignal<Event | null> = offered;

export async function install(): Promise<void> {
  const prompt = offered.value;
  offered.value = null;
  await prompt?.prompt();
}

export function keepForOffline(): void {
  if (!window.isSecureContext || !('serviceWorker' in navigator)) return;
  addEventListener('beforeinstallprompt', (event) => {
    event.preventDefault();
    offered.value = event as InstallPrompt;
  });
  // Where it is refused the page works as over plain http: as long as it is not loaded anew out of touch.
  navigator.serviceWorker.register('/worker.js').catch(() => undefined);
}
