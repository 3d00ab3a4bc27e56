// What was tapped, kept on the tablet until the shop has it: first written down here, then shown, then sent in order.
(() => {
  const NAME = "stand";
  const FIRST_WAIT_MS = 500;
  const LONGEST_WAIT_MS = 30_000;
  const MOST_IN_ONE_GO = 50;

  const wanted = (request) => new Promise((yes, no) => {
    request.onsuccess = () => yes(request.result);
    request.onerror = () => no(request.error);
  });
  const finished = (deal) => new Promise((yes, no) => {
    deal.oncomplete = () => yes();
    deal.onabort = deal.onerror = () => no(deal.error);
  });

  const open = () => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      const base = request.result;
      base.createObjectStore("taps", { keyPath: "place", autoIncrement: true });
      base.createObjectStore("photos", { keyPath: "place", autoIncrement: true });
      base.createObjectStore("told", { keyPath: "key" });
    };
    return wanted(request);
  };

  /** A key that nothing else has, also where the page came without TLS. */
  const newKey = () => {
    if (crypto.randomUUID) return crypto.randomUUID();
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/(.{8})(.{4})(.{4})(.{4})(.{12})/, "$1-$2-$3-$4-$5");
  };

  class Store {
    /** @param changed called when something was sent, refused, or the network went or came */
    constructor(job, changed) {
      Object.assign(this, { job, changed, writing: [], waiting: [], acknowledged: [], photos: [], told: [], net: "asking", sending: false, wait: FIRST_WAIT_MS });
    }

    async open() {
      this.base = await open();
      const taps = await this.all("taps");
      this.waiting = taps.filter((one) => one.version === undefined);
      this.acknowledged = taps.filter((one) => one.version !== undefined);
      [this.photos, this.told] = [await this.all("photos"), await this.all("told")];
      addEventListener("online", () => this.send(true));
      addEventListener("offline", () => this.netIs("gone"));
    }

    async all(name) {
      const all = await wanted(this.base.transaction(name).objectStore(name).getAll());
      return all.filter((one) => one.job === this.job);
    }

    netIs(net) {
      if (this.net === net) return;
      this.net = net;
      this.changed();
    }

    /**
     * Writes taps down for good; after this they are lost only with the tablet itself. Until then they are shown as being
     * written, and are not counted as kept; if the tablet cannot write they are gone from the screen again.
     */
    async keep(taps) {
      try {
        this.writing.push(...taps);
        await this.write(taps);
      } finally {
        this.writing = this.writing.filter((one) => !taps.includes(one));
      }
      this.waiting.push(...taps.map((tap) => ({ job: this.job, ...tap })));
      this.send(true);
    }

    async write(taps) {
      const deal = this.base.transaction("taps", "readwrite", { durability: "strict" });
      for (const tap of taps) {
        const request = deal.objectStore("taps").add({ job: this.job, ...tap });
        request.onsuccess = () => { tap.place = request.result; };
      }
      await finished(deal);
    }

    async keepPhoto(photo) {
      const deal = this.base.transaction("photos", "readwrite", { durability: "strict" });
      deal.objectStore("photos").add({ job: this.job, ...photo });
      await finished(deal);
      this.photos = await this.all("photos");
      this.send(true);
    }

    async drop(name, places) {
      const deal = this.base.transaction(name, "readwrite", { durability: "strict" });
      for (const place of places) deal.objectStore(name).delete(place);
      await finished(deal);
    }

    /** The shop has it. It stays here until a view came that has it too: a page opened without network shows the last view. */
    async acknowledge(one, version) {
      const deal = this.base.transaction("taps", "readwrite", { durability: "strict" });
      deal.objectStore("taps").put({ ...one, version });
      await finished(deal);
      this.acknowledged.push({ ...one, version });
    }

    /** What was refused stays until somebody has read it. */
    async tell(one) {
      const deal = this.base.transaction(["told", "taps"], "readwrite", { durability: "strict" });
      deal.objectStore("told").put({ job: this.job, ...one });
      if (one.place) deal.objectStore("taps").delete(one.place);
      await finished(deal);
    }

    async read(key) {
      await this.drop("told", [key]);
      this.told = this.told.filter((one) => one.key !== key);
      this.changed();
    }

    /** Fetches what the shop knows; what was known last where the network is gone. */
    async view() {
      try {
        const answer = await fetch(`/jobs/${this.job}/stand.json`, { headers: { accept: "application/json" }, redirect: "manual" });
        if (answer.type === "opaqueredirect" || answer.status === 401) {
          this.netIs("signed out");
        } else if (answer.ok) {
          const view = await answer.json();
          if (answer.headers.get("x-kept")) this.netIs("gone");
          else this.netIs("here");
          return view;
        }
      } catch {
        this.netIs("gone");
      }
      return undefined;
    }

    /** Taps that a view of this version does not show yet. */
    since(version) {
      const shown = this.acknowledged.filter((one) => one.version <= version);
      this.acknowledged = this.acknowledged.filter((one) => one.version > version);
      // What is not let go of now is next time.
      if (shown.length > 0) this.drop("taps", shown.map((one) => one.place)).catch(() => {});
      const marked = (all, waits) => all.map((one) => ({ ...one, waits }));
      return [...this.acknowledged, ...marked(this.waiting, "not sent yet"), ...marked(this.writing, "being written")];
    }

    later() {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.send(), this.wait * (0.75 + Math.random() / 2));
      this.wait = Math.min(this.wait * 2, LONGEST_WAIT_MS);
    }

    /** Sends what waits, in order, until nothing waits or the network is gone. */
    async send(now = false) {
      if (now) this.wait = FIRST_WAIT_MS;
      if (this.sending) { this.again = true; return; }
      this.sending = true;
      clearTimeout(this.timer);
      let came = 0;
      try {
        do {
          this.again = false;
          came += await this.sendOnce();
        } while (this.again);
      } catch {
        this.netIs("gone");
        this.later();
      } finally {
        this.sending = false;
      }
      if (came > 0) this.changed(true);
    }

    async sendOnce() {
      const mine = () => this.waiting.filter((tap) => tap.tap.by === this.person).slice(0, MOST_IN_ONE_GO);
      let came = 0;
      for (let batch = mine(); batch.length > 0; batch = mine()) {
        const answer = await fetch(`/jobs/${this.job}/taps`, {
          method: "POST",
          headers: { "content-type": "application/json" },
          body: JSON.stringify({ now_ms: Date.now(), taps: batch.map(({ seen, tap }) => ({ seen, tap })) }),
        });
        if (answer.status === 401) { this.netIs("signed out"); return came; }
        if (!answer.ok) { await this.notTaken(answer, batch); return came; }
        this.wait = FIRST_WAIT_MS;
        this.netIs("here");
        const { answers, version } = await answer.json();
        const settled = await this.settle(batch, answers, version);
        came += settled;
        if (settled < batch.length) {
          // Somebody else signed in meanwhile: the next look says who, and these wait for their own person.
          if (answers.some((one) => one.became === "other-person")) return came + 1;
          this.later();
          return came;
        }
      }
      came += await this.sendPhotos();
      return came;
    }

    /** What became of each: kept ones are let go, refused ones are told, the others wait. */
    async settle(batch, answers, version) {
      let settled = 0;
      for (const { key, became, why } of answers) {
        const one = batch.find(({ tap }) => tap.key === key);
        if (!one || became === "later" || became === "other-person") continue;
        if (became === "refused" || became === "conflict") {
          const told = { key, place: one.place, became, why, words: one.words, at_ms: one.tap.at_ms };
          await this.tell(told);
          this.told.push({ job: this.job, ...told });
        } else {
          await this.acknowledge(one, version);
        }
        this.waiting = this.waiting.filter(({ tap }) => tap.key !== key);
        settled += 1;
      }
      return settled;
    }

    /** The whole lot came back: too much is asked of the shop for now, or this page is too old for it. */
    async notTaken(answer, batch) {
      if (answer.status >= 500 || answer.status === 429) { this.later(); return; }
      const said = await answer.json().catch(() => ({ what: "Not kept", why: [] }));
      for (const one of batch) {
        const told = { key: one.tap.key, place: one.place, became: "refused", why: [said.what, ...said.why], words: one.words, at_ms: one.tap.at_ms };
        await this.tell(told);
        this.told.push({ job: this.job, ...told });
      }
      this.waiting = this.waiting.filter((one) => !batch.includes(one));
      this.changed(true);
    }

    async sendPhotos() {
      let came = 0;
      for (const photo of this.photos.filter((photo) => photo.by === this.person)) {
        const to = `/jobs/${this.job}/stand/photo?about=${encodeURIComponent(photo.about)}`;
        const answer = await fetch(to, { method: "POST", headers: { "content-type": photo.blob.type }, body: photo.blob });
        if (answer.status === 401) { this.netIs("signed out"); return came; }
        if (answer.status >= 500 || answer.status === 429) { this.later(); return came; }
        if (!answer.ok) await this.tell({ key: newKey(), became: "refused", why: ["The photo was not taken."], words: photo.about, at_ms: photo.at_ms });
        await this.drop("photos", [photo.place]);
        came += 1;
      }
      if (came > 0) this.photos = await this.all("photos");
      return came;
    }
  }

  window.Stand = { Store, newKey };
})();
