/** Questions that change nothing: why a course lands when it does, and what if something were otherwise. */

import type { Quote, WhatIfAsked, WhatIfView, WhyView } from '../wire/messages';

/** What is known of an answer: nothing yet, the answer, or that there is none. */
export type Answered<T> =
  | { readonly kind: 'waiting' }
  | { readonly kind: 'no' }
  | { readonly kind: 'yes'; readonly is: T };

/** What holds a course that is behind, link by link. */
export function askWhy(course_id: string, stop: AbortSignal): Promise<Answered<WhyView>> {
  const path = course_id.split('/').map(encodeURIComponent).join('/');
  return answered(fetch(`/api/why/${path}`, { signal: stop }));
}

/** What would be if this were otherwise. */
export function askWhatIf(asked: Partial<WhatIfAsked>, stop: AbortSignal): Promise<Answered<WhatIfView>> {
  return answered(
    fetch('/api/what-if', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(asked),
      signal: stop,
    }),
  );
}

/** One dish with the whole kitchen to itself. */
export function askAlone(dish: string, plates: number, stop: AbortSignal): Promise<Answered<Quote>> {
  return answered(fetch(`/api/book/${encodeURIComponent(dish)}/alone?plates=${plates}`, { signal: stop }));
}

async function answered<T>(asking: Promise<Response>): Promise<Answered<T>> {
  try {
    const reply = await asking;
    return reply.ok ? { kind: 'yes', is: (await reply.json()) as T } : { kind: 'no' };
  } catch {
    return { kind: 'no' };
  }
}
