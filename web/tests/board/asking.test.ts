import { afterEach, describe, expect, it, vi } from 'vitest';
import { askWhatIf, askWhy } from '../../src/board/asking';

const never = new AbortController().signal;

function serverSays(status: number, body: unknown) {
  const fetched = vi.fn(async (..._: unknown[]) => new Response(JSON.stringify(body), { status }));
  vi.stubGlobal('fetch', fetched);
  return fetched;
}

describe('questions that change nothing', () => {
  afterEach(() => vi.unstubAllGlobals());

  it('asks why by table and course, each written so that a path can hold it', async () => {
    const fetched = serverSays(200, { id: 'bar 2/mains', chain: [] });
    const answer = await askWhy('bar 2/mains', never);
    expect(fetched.mock.calls[0]?.[0]).toBe('/api/why/bar%202/mains');
    expect(answer).toEqual({ kind: 'yes', is: { id: 'bar 2/mains', chain: [] } });
  });

  it('sends what is supposed as JSON', async () => {
    const fetched = serverSays(200, { words: 'every course lands as it stands' });
    await askWhatIf({ first: ['9/mains'] }, never);
    const sent = fetched.mock.calls[0]?.[1] as RequestInit;
    expect(JSON.parse(String(sent.body))).toEqual({ first: ['9/mains'] });
  });

  it('has no answer when it is refused or the kitchen is out of reach', async () => {
    serverSays(503, { code: 'planner-silent' });
    expect(await askWhy('4/mains', never)).toEqual({ kind: 'no' });
    vi.stubGlobal('fetch', () => Promise.reject(new TypeError('out of reach')));
    expect(await askWhatIf({ first: ['9/mains'] }, never)).toEqual({ kind: 'no' });
  });
});
