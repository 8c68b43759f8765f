// SPDX-License-Identifier: Apache-2.0
// What the page keeps on this device (IndexedDB): answers seen last, and what waits to be sent.
export type Shelf = "answers" | "outbox";

let opened: Promise<IDBDatabase> | undefined;

function database(): Promise<IDBDatabase> {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open("tautmark", 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("answers");
      request.result.createObjectStore("outbox");
    };
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opened;
}

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

async function shelf(name: Shelf, mode: IDBTransactionMode): Promise<IDBObjectStore> {
  return (await database()).transaction(name, mode).objectStore(name);
}

export async function kept<T>(name: Shelf, key: string): Promise<T | undefined> {
  return done((await shelf(name, "readonly")).get(key) as IDBRequest<T | undefined>);
}

export async function all_kept<T>(name: Shelf): Promise<T[]> {
  return done((await shelf(name, "readonly")).getAll() as IDBRequest<T[]>);
}

export async function keep(name: Shelf, key: string, value: unknown): Promise<void> {
  await done((await shelf(name, "readwrite")).put(value, key));
}

export async function forget(name: Shelf, key: string): Promise<void> {
  await done((await shelf(name, "readwrite")).delete(key));
}

// What the program told, of both stores, when nobody is logged in any more: whoever comes next sees
// what the program lets them see. What was entered or drafted here stays.
export async function forget_answers(): Promise<void> {
  const answers = await shelf("answers", "readwrite");
  for (const begin of ["/api/", "/practice/api/"])
    await done(answers.delete(IDBKeyRange.bound(begin, `${begin}\uffff`)));
}
