// The stand: one step a screen. Every press is shown at once, written down on the tablet, and sent when there is a
// network; see stand-store.js for that, stand-state.js for what is shown.
(() => {
  const { Store, Pictures, boltList, newKey, h, button, pad, withTaps, waitsFor, whyItWaits, openBolts, openDangers, boltsOf, toClose, nextOpen, closed, number, torqueWords } = window.Stand;
  const root = document.getElementById("stand");
  const job = root.dataset.job;
  const DEAF_MS = 450; // a knuckle that bounces does not press what came under it
  const GAP_MS = 10 * 60_000;
  const MOST_FIRST = 3; // steps that come first, those that wait for nothing themselves before the others
  const remembered = (name, value) => (value === undefined ? localStorage.getItem(`${name}-${job}`) : localStorage.setItem(`${name}-${job}`, value));

  let base; // what the shop said last
  let view; // the same with what was tapped here since
  let at = remembered("at"); // the step that is shown
  let screen; // what stands in place of the step; none: the step itself
  let gap; // minutes that nobody has explained yet
  let deafUntil = 0;
  let news;

  const head = h("header", { class: "stand-head" });
  const main = h("div", { class: "stand-main" });
  const foot = h("footer", { class: "stand-foot" });
  const pictures = new Pictures(job);
  const store = new Store(job, (came) => (came ? refresh() : show()));

  const clock = () => new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  const step = () => view.steps.find((one) => one.id === at) ?? view.steps[0];
  const heard = (on) => () => { if (performance.now() >= deafUntil) on(); };

  /** Shows what the shop said last with what was tapped since. */
  const merge = () => { view = withTaps(base, store.since(base.version)); };

  const refresh = async () => {
    const fresh = await store.view();
    if (fresh) {
      base = fresh;
      store.person = fresh.person;
      pictures.follow(fresh.pictures).then((came) => came && view && show());
    }
    if (base) { merge(); show(); }
    else head.replaceChildren(h("p", {}, store.net === "signed out" ? "Nobody is signed in on this device." : "No network, and this job was never opened on this device."), signInLink());
    return Boolean(fresh);
  };

  const signInLink = () => h("a", { class: "button", href: `/sign-in?to=${location.pathname}` }, "Sign in");

  /**
   * Something happens: shown at once as being written, counted as kept once it is; everything else follows from that.
   * How long both took stands in `window.Stand.took`.
   */
  const tap = async (events, words) => {
    const began = performance.now();
    const now = Date.now();
    const taps = events.map((event) => ({ seen: base.version, words, at_words: clock(), tap: { key: newKey(), at_ms: now, by: view.person, event } }));
    const kept = store.keep(taps);
    merge();
    show();
    const shown_ms = painted(began);
    try {
      await kept;
    } catch (why) {
      merge();
      screen = () => h("section", { class: "told" }, h("h2", {}, "This tablet cannot write"), h("p", {}, `${words} was not kept: ${why?.message ?? why}. Write it on the sheet, and free some room.`), button("Back", () => go()));
      show(true);
      return false;
    }
    const kept_ms = performance.now() - began;
    notice(now);
    merge();
    show();
    shown_ms.then((shown_ms) => { window.Stand.took = { shown_ms, kept_ms }; });
    return true;
  };
  /** Milliseconds until what was just put on the page is on the glass; a page that nobody sees paints nothing. */
  const painted = (began) => new Promise((yes) => {
    const done = () => yes(performance.now() - began);
    if (document.visibilityState === "visible") requestAnimationFrame(() => setTimeout(done)); else done();
  });

  /** A long time without a tap is asked about once. */
  const notice = (now) => {
    const last = Number(remembered("tapped"));
    remembered("tapped", String(now));
    const usual = (step()?.minutes.usual ?? 0) * 60_000;
    if (last && now - last - usual > GAP_MS) gap = { minutes: Math.round((now - last) / 60_000), title: step().title };
  };

  const go = (id, other) => {
    if (id) { at = id; remembered("at", id); scrollTo(0, 0); }
    screen = other;
    deafUntil = performance.now() + DEAF_MS;
    show(true);
  };
  const move = (by) => {
    const place = view.steps.indexOf(step());
    go(view.steps[Math.min(view.steps.length - 1, Math.max(0, place + by))].id);
  };

  // What happens

  const done = async () => {
    const one = step();
    if (one.done) return go(one.id, () => again(one));
    const event = one.ride ? { kind: "rode", ride: "first" }
      : { kind: "done", step: one.id, turned: [], strips: one.strips, moves_something: one.moves_something };
    if (!await tap([event], `done: ${one.title}`)) return;
    if (toClose(view, step()).length === 0) onward();
    else {
      deafUntil = performance.now() + DEAF_MS;
      show(true);
      main.querySelector("[data-close]")?.closest("article").scrollIntoView({ block: "center" });
    }
  };
  const again = (one) => h("section", {}, h("h2", {}, "It is done already"),
    h("p", {}, `${one.done.by}, ${one.done.at}. Doing it again puts its bolts back to finger-tight.`),
    h("div", { class: "row" }, button("Back", () => go()), button("Done again", async () => {
      screen = undefined;
      await tap([{ kind: "done", step: one.id, turned: [], strips: one.strips, moves_something: one.moves_something }], `done again: ${one.title}`);
    })));
  const onward = () => {
    const next = nextOpen(view, view.steps.indexOf(step()));
    if (next) go(next.id); else go(step().id);
  };

  const close = (id, then = () => go()) => {
    const bolt = view.fasteners[id];
    if (bolt.closing === "hand") return after(tap([{ kind: "closed-by-hand", fastener: id }], `${bolt.title} closed`), then);
    if (!localStorage.getItem("wrench")) return go(undefined, () => wrenches(() => close(id, then)));
    if (bolt.closing === "print") return go(undefined, () => print(id, then));
    return tighten(id, (bolt.least + bolt.most) / 2, bolt.least, bolt.most, then);
  };
  const tighten = (id, value, least, most, then) => {
    const nm = (one) => `${Number(one.toFixed(1))} N·m`;
    const event = { kind: "tightened", fastener: id, torque: nm(value), least: nm(least), most: nm(most), wrench: localStorage.getItem("wrench") };
    return after(tap([event], `${view.fasteners[id].title} at ${nm(value)}`), then);
  };
  const after = async (kept, then) => {
    if (!await kept) return;
    screen = undefined;
    then();
  };
  /** After a bolt: the step goes on by itself once all of its bolts are at value. */
  const whenClosed = () => (toClose(view, step()).length === 0 ? onward() : go());

  const wrenches = (then) => h("section", {}, h("h2", {}, "Which wrench is at this stand?"),
    h("p", {}, "It is asked once and stays with this tablet."),
    h("div", { class: "choices" }, [1, 2, 3, 4, 5, 6].map((one) => button(`Wrench ${one}`, heard(() => { localStorage.setItem("wrench", `wrench ${one}`); then(); })))),
    h("div", { class: "row" }, button("Back", () => go())));

  const print = (id, then) => {
    const bolt = view.fasteners[id];
    const read = (title, given, next) => pad({ title, unit: "N·m", digits: 1, expected: given, least: 0.5, most: 90, beyond: "0.5 to 90 N·m is what such a bolt takes.", back: () => go(undefined, () => print(id, then)), keep: next });
    return h("section", {}, h("h2", {}, bolt.title), h("p", {}, "What does the part itself say? Its print wins."), 
      bolt.carbon && h("p", { class: "caution" }, bolt.carbon),
      h("div", { class: "choices" },
        button("One figure", heard(() => go(undefined, () => read("The figure on the part", bolt.most, (one) => tighten(id, one, one, one, then))))),
        button("From … to …", heard(() => go(undefined, () => read("On the part: from", bolt.least, (from) => go(undefined, () => read("On the part: to", bolt.most, (to) => tighten(id, (from + to) / 2, Math.min(from, to), Math.max(from, to), then))))))),
        bolt.least !== null && button(`Nothing: practice, ${torqueWords(bolt)} N·m`, heard(() => tighten(id, (bolt.least + bolt.most) / 2, bolt.least, bolt.most, then)))),
      h("div", { class: "row" }, button("Back", () => go())));
  };

  // The pad

  const valuesOf = (one) => [
    ...one.values.filter((value) => value.unit).map((value) => ({ title: value.label, on: () => go(undefined, () => valuePad(one, value)) })),
    ...boltsOf(view, one).filter(([, bolt]) => bolt.closing !== "hand" && bolt.state !== "untouched")
      .map(([id, bolt]) => ({ title: `${bolt.title}: torque`, on: () => torque(id) })),
  ];
  const torque = (id) => {
    if (!localStorage.getItem("wrench")) return go(undefined, () => wrenches(() => torque(id)));
    return go(undefined, () => torquePad(id));
  };
  const torquePad = (id) => {
    const bolt = view.fasteners[id];
    const [least, most] = [bolt.least, bolt.most];
    return pad({
      title: bolt.title, unit: "N·m", digits: 1, least, most, expected: least === null ? null : (least + most) / 2,
      beyond: least === null ? "" : `${torqueWords(bolt)} N·m is wanted (${bolt.basis}).`,
      outside: (value) => [button(`The part says ${number(value)} N·m`, () => tighten(id, value, value, value, whenClosed))],
      back: () => go(), keep: (value) => tighten(id, value, least ?? value, most ?? value, whenClosed),
    });
  };
  const valuePad = (one, value) => pad({
    title: value.label, unit: value.unit, digits: value.digits, expected: value.expected, least: value.least, most: value.most, beyond: value.beyond,
    back: () => go(),
    keep: (found) => {
      const text = `${number(found, value.digits)} ${value.unit}`.trim();
      const event = value.point ? { kind: "looked", point: value.point, look: "first", value: String(found) }
        : { kind: "noted", words: `${one.title} · ${value.label}: ${text}${value.expected === null ? "" : `; the plan said ${number(value.expected, value.digits)}`}` };
      return after(tap([event], `${value.label}: ${text}`), () => go());
    },
  });
  const value = () => {
    const all = valuesOf(step());
    if (all.length === 1) return all[0].on();
    return go(undefined, () => h("section", {}, h("h2", {}, "Which value?"),
      h("div", { class: "choices wide" }, all.map((one) => button(one.title, heard(one.on)))), h("div", { class: "row" }, button("Back", () => go()))));
  };

  // A problem: a photo, a cause, and whether the work on this branch stops

  const problem = () => {
    const one = step();
    let [cause, photo] = [undefined, undefined];
    const picture = h("img", { class: "picture", alt: "the photo", hidden: true });
    const input = h("input", { type: "file", id: "photo", accept: "image/*", capture: "environment", onchange: async () => {
      photo = input.files[0] && await smaller(input.files[0]);
      if (photo) { picture.src = URL.createObjectURL(photo); picture.hidden = false; }
    } });
    const finish = (stops) => heard(async () => {
      if (!cause) return;
      if (photo) await store.keepPhoto({ key: newKey(), by: view.person, at_ms: Date.now(), about: `${one.title}: ${cause}`, blob: photo });
      await after(tap([{ kind: "problem", step: one.id, words: cause, stops }], `problem: ${cause}`), () => go());
    });
    const last = [button("Stop this branch", finish(true), { class: "danger", disabled: true }), button("Carry on", finish(false), { disabled: true })];
    const choices = h("div", { class: "choices" }, view.causes.map((words) => button(words, (event) => {
      cause = words;
      for (const other of choices.children) other.setAttribute("aria-pressed", String(other === event.currentTarget));
      for (const one of last) one.disabled = false;
    }, { "aria-pressed": "false" })));
    const section = h("section", {}, h("h2", {}, "What is the trouble?"), choices,
      h("label", { class: "button", for: "photo" }, "Photo"), input, picture, h("div", { class: "row" }, last), h("div", { class: "row" }, button("Back", () => go())));
    go(undefined, () => section);
  };
  /** A photo no larger than is needed to see what is meant. */
  const smaller = async (file) => {
    const MOST = 1600;
    try {
      const picture = await createImageBitmap(file);
      const scale = Math.min(1, MOST / Math.max(picture.width, picture.height));
      const canvas = h("canvas", { width: Math.round(picture.width * scale), height: Math.round(picture.height * scale) });
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      return await new Promise((yes) => canvas.toBlob(yes, "image/jpeg", 0.85)) ?? file;
    } catch {
      return file;
    }
  };

  // Left for now, and taken on by the next hand

  const lastDone = () => view.latest.find((one) => one.words.startsWith("done: "))?.words.slice(6);
  const names = (bolts) => bolts.map(([, bolt]) => `${bolt.title} ${bolt.state}`).join(", ");
  const pause = () => {
    const picked = {};
    const one = step();
    const group = (name, title, all, width = "") => {
      const box = h("div", { class: `choices ${width}` }, all.map(([key, words]) => button(words, (event) => {
        picked[name] = picked[name] === key && name === "half" ? undefined : key;
        for (const other of box.children) other.setAttribute("aria-pressed", String(other === event.currentTarget && picked[name] !== undefined));
        leave.disabled = !(picked.reason && picked.parking);
      }, { "aria-pressed": "false" })));
      return [h("h2", {}, title), box];
    };
    const more = h("textarea", { id: "more", rows: 2 });
    const leave = button("Leave it so", heard(() => {
      const open = openBolts(view);
      const next = nextOpen(view, view.steps.indexOf(one) - 1);
      const words = [
        more.value.trim(),
        lastDone() && `Last done: ${lastDone()}.`,
        picked.half && `Half done: ${one.title}.`,
        open.length > 0 && `Not at value: ${names(open)}.`,
        next && `Next: ${next.title}.`,
      ].filter(Boolean).join(" ");
      after(tap([{ kind: "paused", reason: picked.reason, parking: picked.parking, words }], "paused"), () => go());
    }), { class: "main", disabled: true });
    const section = h("section", {},
      group("reason", "Why is it left?", [["part", "A part is missing"], ["customer", "The customer has to answer"], ["other-job", "Another job comes first"], ["person", "End of the day, or I go"], ["tool", "A tool is missing"]]),
      group("parking", "How is the bike left?", [["stripped-and-bagged", "Stripped, parts bagged and numbered"], ["rolling-without-chain", "It rolls, without a chain"], ["built-untested", "Built up, not ridden"]]),
      group("half", "Half done?", [["half", one.title]], "wide"),
      h("h2", {}, "What the next hand finds written"),
      h("ul", {}, lastDone() && h("li", {}, `Last done: ${lastDone()}`), openBolts(view).map(([, bolt]) => h("li", {}, `${bolt.title}: ${bolt.state}`))),
      h("label", { for: "more" }, "Anything else (a tag goes on the bar and one on the front wheel)"), more,
      h("div", { class: "row" }, button("Back", () => go()), leave));
    go(undefined, () => section);
  };

  let seen = new Set();
  const handOver = () => {
    const left = view.paused;
    const dangers = openDangers(view);
    const all = dangers.every(([id]) => seen.has(id));
    return h("section", {}, h("h2", {}, `Left by ${left.by}, ${left.at}`),
      (left.reason || left.parking) && h("p", {}, `${left.parking}, because ${left.reason}.`),
      h("blockquote", {}, left.words),
      dangers.length > 0 && [h("h2", {}, "Look at each and press it"),
        h("div", { class: "choices wide" }, dangers.map(([id, bolt]) => button(`${seen.has(id) ? "✓ " : ""}${bolt.title}: ${bolt.state}`, heard(() => { seen.add(id); show(); }), { "aria-pressed": String(seen.has(id)), "data-seen": id })))],
      h("div", { class: "row" }, button("I take it on", heard(() => {
        const words = `Seen at hand-over: ${names(dangers)}.`;
        const events = [{ kind: "resumed" }];
        if (dangers.length > 0) events.push({ kind: "noted", words });
        after(tap(events, "taken on"), () => { seen = new Set(); onward(); });
      }), { class: "main", id: "take-on", disabled: !all || !view.works })));
  };

  // What stands on the screen

  const net = () => {
    const mine = store.waiting.filter(({ tap }) => tap.by === view.person).length + store.photos.length;
    const others = [...new Set(store.waiting.map(({ tap }) => tap.by).filter((by) => by !== view.person))];
    const words = { here: mine + store.writing.length ? `sending ${mine + store.writing.length}` : "all sent", gone: mine ? `no network, ${mine} kept here` : "no network", "signed out": `signed out${mine ? `, ${mine} kept here` : ""}`, asking: "…" }[store.net];
    return [h("span", { class: `net ${store.net.replace(" ", "-")}`, role: "status", id: "net" }, words),
      others.map((by) => h("p", { class: "quiet" }, `Taps of ${by} wait on this tablet until ${by} signs in here.`)),
      store.net === "signed out" && signInLink()];
  };
  const showHead = () => {
    const dangers = openDangers(view);
    head.replaceChildren(
      h("div", { class: "strip" },
        h("span", { class: "hook" }, view.hook ?? "–"),
        h("span", { class: "whose" }, view.customer, view.promised && h("span", { class: "quiet" }, view.promised)),
        net(),
        button("More", () => go(undefined, screen?.is === "more" ? undefined : moreScreen), { class: "more" })),
      ...[dangers.length > 0 && h("p", { class: "danger-line", id: "dangers" }, `${dangers.length} open that can hurt: ${dangers.map(([, bolt]) => bolt.title).join(" · ")}`),
        view.findings.length > 0 && h("p", { class: "finding-line" }, `${view.findings[0].verdict}: ${view.findings[0].words}${view.findings.length > 1 ? ` · and ${view.findings.length - 1} more` : ""}`),
        news && h("p", { class: "news", role: "status", id: "news-line" }, news)].filter(Boolean));
  };

  const toldCards = () => store.told.map((one) => h("section", { class: "told", role: "alert" },
    h("h2", {}, one.became === "conflict" ? "Somebody was quicker" : "Not kept"), h("p", {}, one.words),
    h("ul", {}, one.why.map((line) => h("li", {}, line))), button("Read", () => store.read(one.key), { "data-read": one.key })));
  const gapCard = () => {
    // Not while bolts wait for their value: what is under the hand comes first.
    if (!gap || toClose(view, step()).length > 0) return undefined;
    const say = (what) => heard(() => {
      const words = `${gap.minutes} min without a tap before “${gap.title}”: ${what}`;
      gap = undefined;
      if (what) tap([{ kind: "noted", words }], words); else show();
    });
    return h("section", { class: "gap", id: "gap" }, h("h2", {}, `${gap.minutes} min without a tap. What was it?`),
      h("div", { class: "choices" }, ["parts", "phone", "counter", "break", "other job"].map((what) => button(what, say(what))), button("This step", say(undefined))));
  };

  const boltCard = ([id, bolt]) => {
    const one = step();
    const may = one.done && !one.strips && bolt.state === "finger-tight";
    return h("article", { class: `bolt ${closed(bolt) ? "closed" : ""}`, "data-bolt": id },
      h("h2", {}, bolt.title),
      bolt.left_hand && h("p", { class: "left-hand" }, bolt.left_hand),
      h("p", { class: "big" }, torqueWords(bolt), bolt.closing !== "hand" && bolt.least !== null && h("span", { class: "unit" }, " N·m")),
      h("p", { class: "quiet" }, [bolt.closing === "print" && bolt.least !== null ? "practice; read the print, it wins" : bolt.basis, bolt.condition].filter(Boolean).join(" · ")),
      bolt.carbon && h("p", { class: "quiet" }, bolt.carbon),
      bolt.state !== "untouched" && h("p", { class: "state" }, closed(bolt) ? `✓ ${bolt.state}${bolt.torque ? `, ${number(bolt.torque)} N·m` : ""}, ${bolt.by}${bolt.waits ? ` · ${bolt.waits}` : ""}` : `○ ${bolt.state}`),
      may && button(bolt.closing === "hand" ? "Closed" : "At value", heard(() => close(id, whenClosed)), { class: "main", "data-close": id }));
  };
  const stepScreen = () => {
    const one = step();
    const waits = one.done ? [] : whyItWaits(view, one);
    const follows = view.steps.filter((other) => other.after.some((link) => link.step === one.id));
    const problems = view.problems.filter((found) => found.step === one.id || found.stops);
    const cautions = [one.caution, one.no_way_back && "There is no way back from this step."].filter(Boolean);
    const picture = pictures.beside(one.id, () => go(undefined, () => pictures.large(one.id, () => go())));
    return h("section", { class: "step", "data-step": one.id },
      h("div", { class: `step-top ${picture ? "pictured" : ""}` },
        h("div", {},
          h("p", { class: "where" }, `${view.steps.indexOf(one) + 1} of ${view.steps.length} · ${one.block} · ${one.minutes.usual} min${one.skill === "specialist" ? " · specialist" : ""}`),
          h("h1", { class: one.title.length > 60 ? "long" : "" }, one.title),
          one.done && h("p", { class: "done", id: "done" }, `✓ ${one.done.by}, ${one.done.at}${one.done.waits ? ` · ${one.done.waits}` : ""}`),
          h("dl", { class: "use" }, h("dt", {}, "Tool"), h("dd", {}, one.tool || "none"), h("dt", {}, "Use"), h("dd", {}, one.consumable ?? "dry, nothing"))),
        picture),
      problems.map((found) => h("p", { class: "caution" }, `Problem: ${found.words}${found.stops ? "; the work stops until it is settled" : ""} `,
        // One that is not sent yet has no number.
        found.at !== undefined && h("a", { href: `/jobs/${job}/changes/${found.at}` }, "Ask the customer"))),
      waits.length > 0 && h("div", { class: "waits" }, h("h2", {}, "First"), h("ul", {}, waits.slice(0, MOST_FIRST).map((wait) => h("li", {}, button(wait.words, () => go(wait.id))))),
        waits.length > MOST_FIRST && h("p", { class: "quiet" }, `and ${waits.length - MOST_FIRST} more`)),
      one.ride && h("p", {}, "Seated and standing; a full stop front and rear five times; all gears under load; a bump; both locks."),
      cautions.map((words) => h("p", { class: "caution" }, words)),
      h("div", { class: "bolts" }, boltsOf(view, one).map(boltCard)),
      one.all_bolts && boltList(view, (id) => heard(() => close(id, () => go()))()),
      one.values.map((value) => h("article", { class: "bolt", "data-value": value.key }, h("h2", {}, value.label),
        !value.unit && h("p", { class: "quiet" }, "Written on the sheet."),
        value.unit && h("p", { class: "big" }, value.expected === null ? "measure" : number(value.expected, value.digits), value.expected !== null && h("span", { class: "unit" }, ` ${value.unit}`)),
        value.expected !== null && value.most > value.least && h("p", { class: "quiet" }, `the plan bears ${number(value.least, value.digits)} to ${number(value.most, value.digits)} ${value.unit}`),
        value.point && view.looks[value.point] && h("p", { class: "state" }, `✓ taken by ${view.looks[value.point]}`))),
      one.fault && h("a", { class: "button fault-link", href: one.fault }, "It does not come right: find the fault"),
      (one.after.length > 0 || follows.length > 0) && h("details", {}, h("summary", {}, "Why here in the order"),
        h("ul", {}, one.after.map((link) => h("li", {}, `after “${view.steps.find((other) => other.id === link.step)?.title}”: ${link.because}`)),
          follows.map((other) => h("li", {}, `before “${other.title}”: ${other.after.find((link) => link.step === one.id).because}`)))),
      h("p", { class: "quiet wins" }, "What is printed on the part or in its leaflet wins."));
  };
  const listScreen = () => h("section", {}, h("h1", {}, "All steps"),
    [...new Set(view.steps.map((one) => one.block))].map((block) => [h("h2", {}, block),
      h("div", { class: "list" }, view.steps.filter((one) => one.block === block).map((one) => {
        const waits = !one.done && waitsFor(view, one).length > 0;
        return button([h("span", { class: "mark", "aria-hidden": "true" }, one.done ? "✓" : waits ? "…" : "○"), h("span", {}, one.title, h("span", { class: "quiet" }, one.done ? ` ${one.done.by}, ${one.done.at}` : waits ? " waits" : ""))], () => go(one.id),
          { class: `item ${one.done ? "is-done" : ""}`, "aria-current": one.id === step().id ? "step" : null });
      }))]));
  const moreScreen = () => h("section", {}, h("h1", {}, `${job} · ${view.name}`),
    h("p", { class: "quiet" }, `${view.person} is signed in.`),
    h("div", { class: "choices wide" },
      !view.paused && view.works && view.stage !== "agreed" && button("Pause", heard(pause)),
      button("Bolts: open, at value, witnessed", heard(() => go(undefined, boltScreen))),
      button("Light or dark", light),
      h("a", { class: "button", href: `/jobs/${job}/fault` }, "Something is not right: find the fault"),
      h("a", { class: "button", href: `/jobs/${job}/check` }, "Checks and second person"),
      h("a", { class: "button", href: `/jobs/${job}` }, "The whole job"),
      h("form", { method: "post", action: "/sign-out" }, h("input", { type: "hidden", name: "to", value: location.pathname }), h("button", {}, "Next person signs in")),
      button(localStorage.getItem("wrench") ? `Another wrench than ${localStorage.getItem("wrench")}` : "Which wrench", heard(() => go(undefined, () => wrenches(() => go())))),
      button("Back to the step", () => go())),
    view.findings.length > 0 && [h("h2", {}, "What the plan says"), h("ul", {}, view.findings.map((one) => h("li", {}, `${one.verdict}: ${one.words}`)))],
    h("h2", {}, "What happened last"), h("ul", { id: "latest" }, view.latest.map((one) => h("li", {}, `${one.by}, ${one.at}: ${one.words}`))),
    !("serviceWorker" in navigator) && h("p", { class: "caution" }, "This page came without TLS: on this tablet it does not open while the network is gone. What is tapped is kept all the same."));
  moreScreen.is = "more";
  const boltScreen = () => h("section", {}, h("h1", {}, "Bolts that were touched"), boltList(view), h("div", { class: "row" }, button("Back to the step", () => go())));
  boltScreen.is = "bolts";
  const light = () => {
    const where = document.documentElement.dataset;
    const dark = where.light ? where.light === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
    where.light = dark ? "light" : "dark";
    localStorage.setItem("light", where.light);
  };
  const startScreen = () => h("section", {}, h("h1", {}, "Not begun"),
    view.closed.length > 0 ? [h("p", {}, "Before the bike is taken apart:"), h("ul", {}, view.closed.map((line) => h("li", {}, line)))]
      : h("p", {}, "Everything is measured, agreed and here."),
    h("p", {}, `${view.steps.length} steps, about ${view.steps.reduce((sum, one) => sum + one.minutes.usual, 0)} min.`),
    h("div", { class: "row" }, button("Begin the work", heard(() => after(tap([{ kind: "started" }], "the work began"), () => onward())), { class: "main", id: "begin", disabled: view.closed.length > 0 || !view.works })));
  const overScreen = () => h("section", {}, h("h1", {}, { ready: "Ready", collected: "With the customer", "followed-up": "With the customer", "sent-home": "Sent home" }[view.stage] ?? view.stage),
    h("p", {}, "Nothing more is done at the stand."), h("a", { class: "button", href: `/jobs/${job}` }, "The whole job"));
  const finished = () => h("section", { class: "finished", id: "finished" }, h("h1", {}, "Everything at the stand is done"),
    h("p", {}, "Now a second person, who touched nothing of this bike, looks at everything again on their own sign-in."),
    h("a", { class: "button main", href: `/jobs/${job}/check` }, "Checks"));

  const isOver = () => ["ready", "collected", "followed-up", "sent-home"].includes(view.stage);
  const isBefore = () => !["in-work", "paused", "checks"].includes(view.stage) && !isOver();
  const show = (moved) => {
    if (!view) return;
    showHead();
    if (screen && !moved && !screen.is && screen !== listScreen) return;
    const own = isOver() ? overScreen : isBefore() ? startScreen : view.paused ? handOver : undefined;
    const shown = screen ?? own ?? stepScreen;
    const all = !own && view.steps.every((one) => one.done) && openBolts(view).length === 0;
    main.replaceChildren(...[...toldCards(), gapCard(), all && !screen && finished(), shown()].filter(Boolean));
    const atStep = shown === stepScreen;
    foot.replaceChildren(...(atStep ? [
      h("div", { class: "row ways" }, button("Before", () => move(-1)), button("List", () => go(undefined, listScreen)), button("Next", () => move(1))),
      h("div", { class: "row deeds" },
        button("Done", heard(done), { class: "main", id: "deed-done", disabled: !view.works }),
        button("Value", heard(value), { id: "deed-value", disabled: valuesOf(step()).length === 0 }),
        button("Problem", heard(problem), { id: "deed-problem" })),
    ] : screen === listScreen ? [h("div", { class: "row" }, button("Back to the step", () => go()))] : []));
  };

  // The world around

  const listen = () => {
    const source = new EventSource("/live");
    source.addEventListener("changed", (event) => {
      const change = JSON.parse(event.data);
      if (change.job !== job || (base && change.version <= base.version)) return;
      if (base && change.by !== view.person) {
        news = `${change.by}: ${change.what}`;
        setTimeout(() => { news = undefined; show(); }, 8_000);
      }
      refresh();
    });
    source.addEventListener("all", refresh);
    let away = false;
    source.onerror = () => { away = true; if (source.readyState === EventSource.CLOSED) setTimeout(listen, 5_000); };
    source.onopen = () => { if (away) { away = false; refresh().then(() => store.send(true)); } };
  };
  const stayAwake = () => {
    if (document.visibilityState === "visible") navigator.wakeLock?.request("screen").catch(() => {});
  };
  const keepPage = async () => {
    if (!("serviceWorker" in navigator)) return;
    await navigator.serviceWorker.register("/worker.js");
    const worker = (await navigator.serviceWorker.ready).active;
    const pieces = [...document.querySelectorAll("script[src], link[rel=stylesheet], link[rel=icon]")].map((one) => one.src || one.href);
    navigator.serviceWorker.addEventListener("message", (event) => { if (event.data?.kept) root.dataset.kept = "yes"; });
    worker.postMessage({ keep: [...pieces, "/look/regular.otf", "/look/semibold.otf", location.pathname, `/jobs/${job}/stand.json`, ...(base ? [pictures.address(base.pictures)] : [])] });
  };

  const begin = async () => {
    await store.open();
    root.replaceChildren(head, main, foot);
    const here = await refresh();
    if (!view) return;
    if (!view.steps.some((one) => one.id === at)) at = (nextOpen(view, -1) ?? view.steps[0])?.id;
    show(true);
    root.dataset.ready = "yes";
    root.dataset.readyMs = String(Math.round(performance.now()));
    if (here) store.send(true); else store.later();
    listen();
    stayAwake();
    document.addEventListener("visibilitychange", () => { stayAwake(); if (document.visibilityState === "visible") refresh(); });
    await keepPage().catch(() => {});
  };
  begin().catch((why) => root.replaceChildren(h("p", { role: "alert" }, `The stand does not start on this device: ${why?.message ?? why}`)));
})();
