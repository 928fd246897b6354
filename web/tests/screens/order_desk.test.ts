import { signal } from '@preact/signals';
import { describe, expect, it } from 'vitest';
import { OrderDesk } from '../../src/screens/order/desk';
import { add, answer, EMPTY } from '../../src/screens/order/order_model';
import { Quoter } from '../../src/screens/order/quoter';
import type { Command, KitchenInfo, PassBoard, Reply } from '../../src/wire/messages';
import { book, of } from './book';

class Kept implements Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> {
  text = new Map<string, string>();
  getItem = (key: string) => this.text.get(key) ?? null;
  setItem = (key: string, to: string) => void this.text.set(key, to);
  removeItem = (key: string) => void this.text.delete(key);
}

const kitchen = { service: '2026-11-27', timezone: 'Europe/London' } as KitchenInfo;
const taken: Reply = { ok: true, seq: 40, repeated: false };
const refused: Reply = {
  ok: false,
  problem: { type: '', title: '', status: 422, detail: 'The book has no such dish.', code: 'unknown-dish', faults: [] },
};

function desk(reply: Reply | Promise<Reply>, place = new Kept(), later: Reply | null = null) {
  const sent: Command[] = [];
  const one = new OrderDesk({
    book: signal(book),
    kitchen: signal(kitchen),
    board: signal<PassBoard | null>(null),
    send: async (command, kept) => {
      sent.push(command);
      kept?.(sent.length);
      return reply;
    },
    answerTo: async () => later,
    quoter: new Quoter(
      () => new Promise(() => undefined),
      () => 0,
    ),
    keep: place as unknown as Storage,
  });
  return { one, sent, place };
}

const complete = () => answer(add({ ...EMPTY, table: ' 6 ' }, of('duck')), 'none');

describe('an order', () => {
  it('is taken once nothing lacks, with the table as it is called', async () => {
    const { one, sent } = desk(taken);
    one.change(() => add({ ...EMPTY, table: ' 6 ' }, of('duck')));
    expect(await one.take()).toBe(false);
    expect(sent).toEqual([]);
    one.change(() => complete());
    expect(await one.take()).toBe(true);
    expect(sent[0]).toMatchObject({ kind: 'take_order', table: '6', allergies_asked: true });
    expect(one.draft.value).toEqual(EMPTY);
    one.close();
  });

  it('that is refused stays as it was typed', async () => {
    const { one } = desk(refused);
    one.change(() => complete());
    expect(await one.take()).toBe(false);
    expect(one.draft.value).toEqual(complete());
    expect(one.refused.value?.detail).toBe('The book has no such dish.');
    one.change((draft) => add(draft, of('duck')));
    expect(one.refused.value).toBeNull();
    one.close();
  });

  it('is found again after a reload, and gone once it is taken', async () => {
    const { one, place } = desk(taken);
    one.change(() => complete());
    one.close();
    const again = desk(taken, place).one;
    expect(again.draft.value).toEqual(complete());
    await again.take();
    again.close();
    expect(desk(taken, place).one.draft.value).toEqual(EMPTY);
  });

  it('taken back is typed again unless another has been begun', async () => {
    const { one, sent } = desk(taken);
    one.change(() => complete());
    await one.take();
    await one.undo();
    expect(sent[1]).toEqual({ kind: 'undo', seq: 40 });
    expect(one.draft.value).toEqual(complete());
    await one.take();
    one.change((draft) => add(draft, of('brill')));
    await one.undo();
    expect(one.draft.value.lines.map((line) => line.dish)).toEqual(['brill']);
    one.close();
  });

  it('that was on its way when the page was loaded anew is waited for and never taken twice', async () => {
    const { one, place } = desk(new Promise(() => undefined));
    one.change(() => complete());
    void one.take();
    await Promise.resolve();
    one.close();
    const { one: again, sent } = desk(taken, place, taken);
    expect(again.taking.value).toBe(true);
    expect(await again.take()).toBe(false);
    expect(sent).toEqual([]);
    expect(again.draft.value).toEqual(EMPTY);
    expect(again.taken.value).toMatchObject({ table: '6', seq: 40 });
    expect(again.taking.value).toBe(false);
    again.close();
  });
});
