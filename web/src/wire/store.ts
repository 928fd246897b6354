/** Where the outbox keeps commands over a reload: IndexedDB, which plain http pages have too. */

import type { Command } from './messages';

export interface Kept {
  client_id: string;
  client_seq: number;
  command: Command;
  /** It takes back the command of this number, whose acknowledgement (`seq`) is still to come. */
  takes_back?: number;
}

export interface Store {
  /** Gives the command its place in this device's sequence and keeps it, in one transaction. */
  keep(command: Command, takes_back?: number): Promise<Kept>;
  /** Writes one that is kept anew, under its number. */
  rewrite(kept: Kept): Promise<void>;
  forget(client_seq: number): Promise<void>;
  /** What is still kept, in order. */
  all(): Promise<Kept[]>;
  clientId(): Promise<string>;
}

/** No crypto.randomUUID on plain http; getRandomValues is there. */
function newId(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** Keeps for as long as the page lives: for browsers that refuse IndexedDB. A new id each time, since the count starts again. */
export class MemoryStore implements Store {
  private kept: Kept[] = [];
  private seq = 0;
  private readonly id = newId();

  async keep(command: Command, takes_back?: number): Promise<Kept> {
    const kept = {
      client_id: this.id,
      client_seq: ++this.seq,
      command,
      ...(takes_back !== undefined && { takes_back }),
    };
    this.kept.push(kept);
    return kept;
  }
  async rewrite(kept: Kept): Promise<void> {
    this.kept = this.kept.map((one) => (one.client_seq === kept.client_seq ? kept : one));
  }
  async forget(client_seq: number): Promise<void> {
    this.kept = this.kept.filter((kept) => kept.client_seq !== client_seq);
  }
  async all(): Promise<Kept[]> {
    return [...this.kept];
  }
  async clientId(): Promise<string> {
    return this.id;
  }
}

const answer = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

const ended = (transaction: IDBTransaction): Promise<void> =>
  new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error);
    transaction.onerror = () => reject(transaction.error);
  });

/**
 * The id of this device and its count live in the same database as the commands: if a browser clears one it clears
 * both, so that a count starting again can never be taken for taps the server has seen.
 */
export class DatabaseStore implements Store {
  constructor(private readonly db: IDBDatabase) {}

  static async open(name = 'kitchen-timer'): Promise<DatabaseStore> {
    const request = indexedDB.open(name, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore('device');
      request.result.createObjectStore('outbox', { keyPath: 'client_seq' });
    };
    return new DatabaseStore(await answer(request));
  }

  async keep(command: Command, takes_back?: number): Promise<Kept> {
    const transaction = this.db.transaction(['device', 'outbox'], 'readwrite');
    const device = transaction.objectStore('device');
    const client_id = await this.idWithin(device);
    const client_seq = ((await answer(device.get('seq'))) ?? 0) + 1;
    const kept: Kept = { client_id, client_seq, command, ...(takes_back !== undefined && { takes_back }) };
    device.put(client_seq, 'seq');
    transaction.objectStore('outbox').put(kept);
    await ended(transaction);
    return kept;
  }

  async rewrite(kept: Kept): Promise<void> {
    const transaction = this.db.transaction('outbox', 'readwrite');
    transaction.objectStore('outbox').put(kept);
    await ended(transaction);
  }

  async forget(client_seq: number): Promise<void> {
    const transaction = this.db.transaction('outbox', 'readwrite');
    transaction.objectStore('outbox').delete(client_seq);
    await ended(transaction);
  }

  async all(): Promise<Kept[]> {
    return answer(this.db.transaction('outbox').objectStore('outbox').getAll()); // in order of client_seq
  }

  async clientId(): Promise<string> {
    const transaction = this.db.transaction('device', 'readwrite');
    const id = await this.idWithin(transaction.objectStore('device'));
    await ended(transaction);
    return id;
  }

  private async idWithin(device: IDBObjectStore): Promise<string> {
    const known: string | undefined = await answer(device.get('id'));
    if (known) return known;
    const id = newId();
    device.put(id, 'id');
    return id;
  }
}

export async function openStore(): Promise<Store> {
  try {
    return await DatabaseStore.open();
  } catch {
    return new MemoryStore();
  }
}
