// What could not be sent yet, kept by the browser until it is: in IndexedDB, or else in memory.
"use strict";

const waiting = (() => {
  const memory = new Map();
  let opened = null;

  function open() {
    opened ??= new Promise((resolve) => {
      try {
        const asked = indexedDB.open("stashkeeper", 1);
        asked.onupgradeneeded = () => asked.result.createObjectStore("waiting", { keyPath: "once" });
        asked.onsuccess = () => resolve(asked.result);
        asked.onerror = () => resolve(null);
        asked.onblocked = () => resolve(null);
      } catch {
        resolve(null);
      }
    });
    return opened;
  }

  async function inStore(mode, doing) {
    const store = await open();
    if (!store) return null;
    return new Promise((resolve, reject) => {
      const transaction = store.transaction("waiting", mode);
      const asked = doing(transaction.objectStore("waiting"));
      transaction.oncomplete = () => resolve(asked.result);
      transaction.onerror = () => reject(transaction.error);
      transaction.onabort = () => reject(transaction.error);
    });
  }

  return {
    // Keep a sending; tell whether it outlives the page.
    async keep(sending) {
      memory.set(sending.once, sending);
      try {
        return (await inStore("readwrite", (store) => store.put(sending))) !== null;
      } catch {
        return false;
      }
    },
    async forget(once) {
      memory.delete(once);
      await inStore("readwrite", (store) => store.delete(once)).catch(() => {});
    },
    async all() {
      const kept = (await inStore("readonly", (store) => store.getAll()).catch(() => null)) ?? [];
      return kept.sort((one, other) => one.at - other.at);
    },
  };
})();
