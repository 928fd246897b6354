import 'fake-indexeddb/auto';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Command, Reply } from '../../src/wire/messages';
import { Outbox } from '../../src/wire/outbox';
import { DatabaseStore, type Kept, MemoryStore, type Store } from '../../src/wire/store';

const fire = (course: string): Command => ({ kind: 'fire_course', course_id: course });
const ok = (seq: number): Reply => ({ ok: true, seq, repeated: false });

let database = 0;
beforeEach(() => {
  database += 1;
});
afterEach(() => {
  vi.useRealTimers();
});

const stores: [string, () => Promise<Store>][] = [
  ['in a database', () => DatabaseStore.open(`outbox ${database}`)],
  ['in memory', async () => new MemoryStore()],
];

for (const [where, open] of stores) {
  test(`a command kept ${where} is handed in once and forgotten when it is acknowledged`, async () => {
    const store = await open();
    const taken: Kept[] = [];
    const outbox = new Outbox(Promise.resolve(store), async (kept) => {
      taken.push(kept);
      return ok(taken.length);
    });
    expect(await outbox.send(fire('6/mains'))).toEqual(ok(1));
    expect(await outbox.send(fire('7/mains'))).toEqual(ok(2));
    expect(taken.map((kept) => kept.client_seq)).toEqual([1, 2]);
    expect(new Set(taken.map((kept) => kept.client_id)).size).toBe(1);
    expect(await store.all()).toEqual([]);
    expect(outbox.unsent.value).toBe(0);
  });

  test(`commands kept ${where} while out of touch go in in order when it is back`, async () => {
    let inTouch = false;
    const taken: string[] = [];
    const outbox = new Outbox(
      open(),
      async (kept) => {
        if (!inTouch) throw new Error('out of touch');
        if (kept.command.kind === 'fire_course') taken.push(kept.command.course_id);
        return ok(taken.length);
      },
      5,
    );
    const replies = ['1/mains', '2/mains', '3/mains'].map((course) => outbox.send(fire(course)));
    await vi.waitFor(() => expect(outbox.unsent.value).toBe(3));
    inTouch = true;
    await Promise.all(replies);
    expect(taken).toEqual(['1/mains', '2/mains', '3/mains']);
    expect(outbox.unsent.value).toBe(0);
  });

  test(`an answer that was lost on the way makes a command kept ${where} go in again under its number`, async () => {
    const taken: number[] = [];
    const outbox = new Outbox(
      open(),
      async (kept) => {
        taken.push(kept.client_seq);
        if (taken.length === 1) throw new Error('no answer within 5 s');
        return { ok: true, seq: 12, repeated: true };
      },
      5,
    );
    expect(await outbox.send(fire('6/mains'))).toEqual({ ok: true, seq: 12, repeated: true });
    expect(taken).toEqual([1, 1]);
  });
}

test('a reload loses nothing: what was kept goes in first, and the count goes on', async () => {
  const name = `outbox ${database}`;
  const before = new Outbox(DatabaseStore.open(name), () => Promise.reject(new Error('out of touch')), 1_000_000);
  void before.send(fire('1/mains'));
  void before.send(fire('2/mains'));
  await vi.waitFor(() => expect(before.unsent.value).toBe(2));

  const taken: Kept[] = [];
  const after = new Outbox(DatabaseStore.open(name), async (kept) => {
    taken.push(kept);
    return ok(taken.length);
  });
  await after.send(fire('3/mains'));
  expect(taken.map((kept) => kept.client_seq)).toEqual([1, 2, 3]);
  expect(await after.clientId()).toBe(await before.clientId());
});

test('a refusal is an answer: it is told once and not handed in again', async () => {
  let times = 0;
  const refusal: Reply = {
    ok: false,
    problem: { type: 'about:blank', title: 'Gone', status: 409, detail: 'Table 6 has gone.', code: 'gone', faults: [] },
  };
  const outbox = new Outbox(Promise.resolve(new MemoryStore()), async () => {
    times += 1;
    return refusal;
  });
  expect(await outbox.send(fire('6/mains'))).toEqual(refusal);
  expect(times).toBe(1);
  expect(outbox.unsent.value).toBe(0);
});

test('a server that is only starting up is asked again', async () => {
  let times = 0;
  const outbox = new Outbox(
    Promise.resolve(new MemoryStore()),
    async () => {
      times += 1;
      if (times > 1) return ok(1);
      const problem = { type: '', title: 'Starting', status: 503, detail: '', code: 'starting', faults: [] };
      return { ok: false, problem };
    },
    5,
  );
  expect(await outbox.send(fire('6/mains'))).toEqual(ok(1));
});

test('two pages of one device never give two commands one number', async () => {
  const name = `outbox ${database}`;
  const [one, two] = [await DatabaseStore.open(name), await DatabaseStore.open(name)];
  const kept = await Promise.all(
    Array.from({ length: 10 }, (_, i) => (i % 2 === 0 ? one : two).keep(fire(`${i}/mains`))),
  );
  expect([...kept.map((k) => k.client_seq)].sort((a, b) => a - b)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
  expect(new Set(kept.map((k) => k.client_id)).size).toBe(1);
});

test('a tap taken back out of touch is taken back after a reload too, under the number that the server gave it', async () => {
  const name = `outbox ${database}`;
  const before = new Outbox(DatabaseStore.open(name), () => Promise.reject(new Error('out of touch')), 1_000_000);
  const tap = before.send(fire('6/mains'));
  void before.takeBack(tap);
  await vi.waitFor(() => expect(before.unsent.value).toBe(2));

  const taken: Command[] = [];
  const after = new Outbox(DatabaseStore.open(name), async (kept) => {
    taken.push(kept.command);
    return ok(11 + taken.length);
  });
  after.wake();
  await vi.waitFor(() => expect(taken).toEqual([fire('6/mains'), { kind: 'undo', seq: 12 }]));
  await vi.waitFor(() => expect(after.unsent.value).toBe(0));
});

test('what the server refused needs no taking back', async () => {
  const problem = { type: '', title: '', status: 409, detail: 'Gone.', code: 'gone', faults: [] };
  let inTouch = false;
  const taken: Command[] = [];
  const outbox = new Outbox(
    Promise.resolve(new MemoryStore()),
    async (kept) => {
      if (!inTouch) throw new Error('out of touch');
      taken.push(kept.command);
      return { ok: false, problem };
    },
    5,
  );
  const back = outbox.takeBack(outbox.send(fire('6/mains')));
  await vi.waitFor(() => expect(outbox.unsent.value).toBe(2));
  inTouch = true;
  expect(await back).toMatchObject({ ok: false });
  expect(taken).toEqual([fire('6/mains')]);
  await vi.waitFor(() => expect(outbox.unsent.value).toBe(0));
});

test('a page loaded anew hears what became of a command that was on its way', async () => {
  const name = `outbox ${database}`;
  const before = new Outbox(DatabaseStore.open(name), () => Promise.reject(new Error('out of touch')), 1_000_000);
  let number = 0;
  void before.send(fire('6/mains'), (client_seq) => {
    number = client_seq;
  });
  await vi.waitFor(() => expect(number).toBe(1));
  const after = new Outbox(DatabaseStore.open(name), async () => ok(12));
  const answer = after.answerTo(number);
  after.wake();
  expect(await answer).toEqual(ok(12));
  expect(await after.answerTo(number)).toBeNull();
});

test('a command taken back while its acknowledgement is being noted is taken back all the same', async () => {
  const store = new MemoryStore();
  const forget = store.forget.bind(store);
  let goOn = () => {};
  const noted = new Promise<void>((resolve) => {
    goOn = resolve;
  });
  let forgetting = false;
  store.forget = async (client_seq) => {
    forgetting = true;
    await noted;
    await forget(client_seq);
  };
  const taken: Command[] = [];
  const outbox = new Outbox(Promise.resolve(store), async (kept) => {
    taken.push(kept.command);
    return ok(40 + taken.length);
  });
  const tap = outbox.send(fire('6/mains'));
  await vi.waitFor(() => expect(forgetting).toBe(true));
  const back = outbox.takeBack(tap);
  await new Promise((after) => setTimeout(after, 5));
  goOn();
  expect(await back).toEqual(ok(42));
  expect(taken).toEqual([fire('6/mains'), { kind: 'undo', seq: 41 }]);
});
